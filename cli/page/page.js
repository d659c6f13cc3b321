/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet's blanks become arguments and files of the command, which runs
 * unchanged in a worker; what it writes is laid out below them. */
const by = id => document.getElementById(id);
const all = (selector, within = document) => [...within.querySelectorAll(selector)];
const blank = name => document.querySelector(`[name="${name}"]`);
const value = name => blank(name).value.trim();
const encoded = text => new TextEncoder().encode(text);
function element(tag, text, attributes = {}) {
  const made = document.createElement(tag);
  if (text) made.textContent = text;
  for (const key in attributes) made.setAttribute(key, attributes[key]);
  return made;
}
function button(words, does, attributes = {}) {
  const made = element('button', words, {type: 'button', ...attributes});
  made.onclick = does;
  return made;
}

/* ---- The command in its worker ------------------------------------------ */

let worker = null, running = null; /* {done, since}: what it is at */
let turn = Promise.resolve();      /* when all that was asked before is answered */

function wake() {
  const code = new Blob([by('engine').textContent], {type: 'text/javascript'});
  const url = URL.createObjectURL(code);
  try {
    worker = new Worker(url);
  } catch (e) {
    throw new Error('Here the sheet cannot fill itself in: open it in another browser, not in a viewer of files.');
  }
  URL.revokeObjectURL(url);
  worker.onmessage = ({data}) => end(data);
  worker.onerror = e => end({code: 4, out: '', made: {}, err: `${e.message}\n`});
  worker.postMessage({wasm: by('wasm').textContent.trim()});
}

/* Resolves to {code, out, err, made}; null where it was stopped. */
function ask(argv, files = {}, want = []) {
  turn = turn.then(() => new Promise(done => {
    if (!worker) wake();
    running = {done, since: performance.now()};
    worker.postMessage({argv, files, want});
  }));
  return turn;
}

function end(result) {
  const asked = running;
  running = null;
  asked?.done(result);
}

function stop() {
  if (!running) return;
  worker.terminate();
  worker = null;
  end(null);
}

/* What a command takes, as its help says. */
const known = {}, STOPPED = 'Stopped.';
async function optionsOf(command) {
  if (!known[command]) {
    const told = await ask(['help', command]);
    if (!told) throw new Error(STOPPED);
    if (told.code) throw new Error(told.err);
    known[command] = new Set([...told.out.matchAll(/^ {2}--([a-z-]+)/gm)].map(m => m[1]));
  }
  return known[command];
}

/* ---- From blanks to a command line ---------------------------------------- */

const given = {water: [], target: [], shelf: [], recipe: [], solution: []};
let samples = []; /* of the water's file, where it holds several */

const filled = box => (box.dataset.for ? given[box.dataset.for].length > 0
  : box.type === 'checkbox' ? box.checked : box.value.trim() !== '');
const close = text => text.replace(/\s+/g, '').replace(/^1:/, '');
/* A bare figure is of litres or grams, or of gallons or ounces where US units are chosen. */
const withUnit = box => box.value.trim().replace(/^[\d.,]+$/,
  'bare' in box.dataset ? `$& ${box.dataset.bare.split(' ')[value('amounts') === 'us' ? 1 : 0]}` : '$&');
const words = text =>
  [...text.matchAll(/"([^"]*)"|'([^']*)'|(\S+)/g)].map(m => m[1] ?? m[2] ?? m[3]);
const cell = text => (/[",\n;]/.test(text) ? `"${text.replace(/"/g, '""')}"` : text);
const table = rows => [...rows, ''].join('\n');
const linesOf = text => text.split(/[\n;]+/).map(line => line.trim().replace(/,$/, '')).filter(Boolean);

/* "Ca = 80 mg/L", "Ca: 80 mg/L", "Ca 80 mg/L", on one line or several; of products,
 * which have figures in their names, the last figure is the amount.  null: a table. */
function pairsOf(text, products) {
  const parts = text.split(/[\n;]+|,\s+(?=[^\d\s])/).map(part => part.trim().replace(/,$/, '')).filter(Boolean);
  const form = products ? /^(.*\S)\s+([\d.,]+ *[^\s\d]\S*)$/ : /^([^,]+?)(?:\s*:\s*|\s+)([<>]?\s*\d.*)$/;
  const pairs = parts.map(part => /^([^=]*?)\s*=\s*(.*)$/.exec(part) || form.exec(part));
  return pairs.length && pairs.every(Boolean) ? pairs.map(([, name, amount]) => `${name}=${amount}`) : null;
}
const joined = pairs => pairs.join(pairs.some(pair => /\d,\d/.test(pair)) ? '; ' : ', ');

/* What the blanks come to.  `from`: the blank that each option and each file was made
 * of, and what stands in each of its lines. */
class Draft {
  asked = [];
  files = {};
  from = {};
  put(option, text, box) {
    this.asked.push([option, text]);
    this.from[`--${option}`] = {box};
  }
  write(name, text, box, lines) {
    this.files[name] = encoded(text);
    this.from[name] = {box, lines};
    return name;
  }
  /* The names of the files given for a blank. */
  names(what) {
    for (const file of given[what]) this.files[file.name] = file.bytes;
    for (const file of given[what]) this.from[file.name] = {was: file.was};
    return given[what].map(file => file.name);
  }
  /* Water or solution: its argument, and its file where it is one. */
  analysis(name) {
    const box = blank(name), pairs = pairsOf(box.value);
    if (given[name].length) return this.names(name);
    if (!value(name)) return [];
    return [pairs ? joined(pairs) : this.write(box.dataset.file, box.value, box)];
  }
  waters() {
    const names = this.analysis('water'), one = blank('sample').value;
    if (names.length !== 1 || samples.length < 2) return names;
    return one === '?' ? [] : (one === '' ? samples : [one]).map(sample => `${names[0]}:${sample}`);
  }
  target() {
    const figures = all('[name="figure"]').filter(filled), set = value('crop');
    if (given.target.length) return this.names('target')[0];
    if (!figures.length) return set;
    const rows = figures.map(box => {
      const [what, limit] = box.dataset.of.split(':');
      return [what, limit ? '' : box.value.trim(), '', limit ? box.value.trim() : ''].map(cell).join();
    });
    const head = ['parameter,target,min,max', ...(set ? [`base,${set},,`] : [])];
    return this.write('target.csv', table([...head, ...rows]), document.querySelector('.figures'),
      [...head, ...figures.map(box => box.dataset.of.split(':')[0])]);
  }
  shelf() {
    const ticked = all('[name="product"]:checked').map(box => box.value);
    if (given.shelf.length) return this.names('shelf')[0];
    return ticked.length && this.write('shelf.csv', table(['product', ...ticked.map(cell)]), by('products'), ['', ...ticked]);
  }
  recipe() {
    const box = blank('given'), pairs = pairsOf(box.value, true);
    if (given.recipe.length) this.put('recipe', this.names('recipe')[0], box);
    else if (pairs || !/[,;\t]/.test(box.value)) for (const dose of pairs || linesOf(box.value)) this.put('dose', dose, box);
    else this.put('recipe', this.write('recipe.csv', `${value('given')}\n`, box), box);
  }
  blanks(command) {
    for (const box of all('[data-option]'))
      if (filled(box) && counts(box, command))
        this.put(box.dataset.option, box.dataset.value ?? (box.type === 'checkbox' ? ''
          : 'close' in box.dataset ? close(withUnit(box)) : box.value.trim()), box);
  }
}

/* Whether a blank is of what is asked, and not of another way to mix. */
function counts(box, command) {
  const when = box.closest('[data-when]')?.dataset.when;
  return when ? when === (command === 'stock' ? 'stock' : 'feed') : !box.closest('label[hidden]');
}

/* Which question the blanks ask. */
function commandOf(waters) {
  if (!value('crop') && !value('bag') && !given.target.length && !all('[name="figure"]').some(filled)) return '';
  if (value('solution') || given.solution.length) return 'renew';
  if (value('given') || given.recipe.length) return 'check';
  const sideBySide = waters.length > 1 && value('several') === 'compare';
  if (sideBySide || (waters.length && blank('purified').checked)) return 'compare';
  return value('vessel') ? 'stock' : 'formulate';
}

/* What is not filled in; or whose point may stand between thousands, or before a
 * fraction. */
function lacks(command) {
  if (command === 'renew' && !value('holds')) return 'How much does the tank hold now?';
  if (value('bag') && !pairsOf(value('bag'), true))
    return 'Of the bag\'s table, a product and its amount a line, such as: potassium nitrate = 0.5 g/L';
  for (const box of all('[data-needed], [data-volume]').filter(box => counts(box, command))) {
    if ('needed' in box.dataset && !filled(box)) return box.dataset.needed;
    const [, number, unit] = 'volume' in box.dataset && /^(\d{1,3}[.,]\d{3})(?![\d.,])\s*(.*)$/.exec(withUnit(box)) || [];
    if (!number || /^0/.test(number)) continue;
    const or = [number.replace(/[.,]/, ''), Number(number.replace(',', '.'))].map(n => `${n} ${unit}`.trim());
    return `${box.value.trim()} may be read in two ways: write ${or[0]} or ${or[1]}.`;
  }
  return '';
}

/* {command, argv, files, from, unused}, or what is missing. */
async function plan() {
  const draft = new Draft(), waters = draft.waters();
  if (!waters.length) return {missing: samples.length > 1 ? 'Which of these waters?' : 'Begin with the water.'};
  const command = commandOf(waters), missing = command ? lacks(command)
    : misunderstood ? 'First the water: what is wrong with it stands beside it.' : 'Now the crop.';
  if (missing) return {missing};
  for (const water of waters) draft.put('water', water, blank('water'));
  for (const meaning of linesOf(value('meant'))) draft.put('read-as', meaning, blank('meant'));
  const bag = value('bag');
  if (bag) draft.put('target-of', joined(pairsOf(bag, true)), blank('bag'));
  else draft.put('target', draft.target(), blank('crop'));
  const shelf = draft.shelf();
  if (shelf) draft.put('shelf', shelf, by('products'));
  if (value('label')) {
    draft.write('label.txt', `${value('label')}\n`, blank('label'));
    draft.put('label', (value('label-name') ? `${value('label-name')}=` : '') + 'label.txt', blank('label'));
  }
  draft.recipe();
  const sample = value('solution-sample');
  for (const solution of draft.analysis('solution'))
    draft.put('solution', solution + (sample ? `:${sample}` : ''), blank('solution'));
  if (value('vessel') === 'three') draft.put('third-tank', '', blank('vessel'));
  draft.blanks(command);
  const {asked, files, from} = draft, takes = await optionsOf(command);
  const argv = [command], unused = [];
  for (const [option, text] of asked)
    if (!takes.has(option)) unused.push(option);
    else argv.push(`--${option}`, ...(text === '' ? [] : [text]));
  argv.push('--sheet', 'sheet.html', ...words(value('more')));
  return {command, argv, files, from, unused};
}

const quoted = word =>
  (/^[\w.,:=%/+-]+$/.test(word) ? word : `'${word.replace(/'/g, "'\\''")}'`);
const commandLine = argv => ['saltwright', ...argv].map(quoted).join(' ');

/* ---- What comes out ------------------------------------------------------- */

/* A page of the command: its parts, and what it adds to the style they share
 * with this sheet.  Colours go the one way that the policy of this page lets
 * through; "<" of a name is never written as such. */
let copies = 0; /* each with names of its own for what it refers to */
function parse(html) {
  const copy = `of-${++copies}-`;
  const body = html.slice(html.indexOf('<main>'), html.lastIndexOf('</main>'));
  const end = html.indexOf('\x3c/style>');
  const style = html.slice(html.lastIndexOf('@page {', end), end);
  const main = new DOMParser().parseFromString(
    body.replace(/<i class="key" style="background:/g, '<i class="key" data-colour="')
      .replace(/(<pattern id="|="url\(#)/g, `$1${copy}`), 'text/html').querySelector('main');
  for (const key of all('[data-colour]', main)) key.style.background = key.dataset.colour;
  return {main: document.importNode(main, true), style};
}

function fold(title, parts, open) {
  const made = element('details', '', {class: 'part'});
  const summary = element('summary');
  summary.append(element('h2', title));
  made.append(summary, ...parts);
  made.open = open;
  return made;
}

const titleOf = section => section.querySelector('h2')?.textContent || '';
function foldSection(section, open) {
  const title = section.querySelector('h2');
  title?.remove();
  return fold(title?.textContent || 'More', [section], open);
}

let last = null; /* {result, failed}: what stands below */
let asks = '';   /* the box ticked last, whose part is to be seen */

function lay(result) {
  const {main} = parse(result.made['sheet.html']);
  const parts = [], first = !last || last.failed;
  const was = new Map(all('details.part', by('answer')).map(part => [part.firstChild.textContent, part.open]));
  const open = title => was.get(title) ?? (asks !== '' && !first);
  const verdict = main.querySelector('.client > section:first-of-type');
  if (verdict) parts.push(verdict);
  const worker = main.querySelector('.worker:not(.stage)');
  const of = (title, part, byItself) =>
    parts.push(fold(title, [part], (first && byItself) || open(title) || !!part.querySelector('.stop')));
  if (worker) of('Page 1: for whoever mixes it', worker, true);
  if (worker && worker.querySelector('.stop')) parts.reverse(); /* nothing comes before that */
  const client = main.querySelector('.client');
  if (worker && client.children.length) of('Page 2: for the client', client, false);
  else if (client)
    for (const section of [...client.children].filter(section => section !== verdict)) parts.push(foldSection(section, true));
  for (const stage of all('.stage', main)) {
    const head = stage.querySelector('h1');
    head.remove();
    of(`Page 1, ${head.textContent}`, stage, true);
  }
  for (const [i, section] of all('.evidence > section', main).entries())
    if (i && titleOf(section) === 'Safety') parts.at(-1).append(section); /* beside the amounts */
    else parts.push(foldSection(section, open(titleOf(section))));
  by('answer').replaceChildren(...parts);
}

/* To a blank, wherever it is folded away; where a file stands for it, to that. */
function to(box, words) {
  return button(words, () => {
    for (let fold = box; fold; fold = fold.parentElement) if (fold.tagName === 'DETAILS') fold.open = true;
    (box.hidden ? document.querySelector(`[data-for="${box.name}"]`) : box).focus();
  }, {class: 'to'});
}

/* "Nitrat=NO3": from now on it is read so. */
function choice(meaning) {
  const [name, other] = meaning.split('=');
  return button(other.replace(/^\[|\]$/g, ''), () => {
    blank('meant').value = [...linesOf(value('meant')).filter(old => !old.startsWith(`${name}=`)), meaning].join('; ');
    changed();
  }, {'aria-label': `read ${name} as ${other}`});
}

/* What the command says in its own terms, in the blanks': an option by the blank that
 * it came from or belongs to, a --read-as that it proposes as a choice. */
const terms = /(--read-as "[^"]*"|--[a-z][a-z-]*|needs a unit)/;
function term(word, from) {
  const meaning = /^--read-as "(.*)"$/.exec(word)?.[1], option = word.replace(/^--/, '');
  const box = from[word]?.box || all('[data-option], [data-mends]').find(box => [box.dataset.option, box.dataset.mends].includes(option));
  if (meaning) return choice(meaning);
  if (box) return to(box, box.dataset.mends === word ? word : box.dataset.called);
  return Object.values(known).some(takes => takes.has(option)) ? to(blank('more'), `${blank('more').dataset.called} ${word}`) : word;
}

function inTerms(part, from = {}) {
  const walk = document.createTreeWalker(part, NodeFilter.SHOW_TEXT), found = [];
  while (walk.nextNode()) if (terms.test(walk.currentNode.data)) found.push(walk.currentNode);
  for (const text of found) {
    const words = text.data.split(terms); /* every other one is a term; said again, it is of an example */
    text.replaceWith(...words.map((word, i) => (i % 2 && words.indexOf(word) === i ? term(word, from) : word)));
  }
}

/* "FILE:LINE:COLUMN: error: words", told of the blank that the file was made of. */
function complaint(line, from) {
  const [, place, row, severity, words] =
    /^(.*?)(?::(\d+))?(?::\d+)?: (error|warning|note): (.*)$/.exec(line) || [line, 'saltwright', '', 'error', line];
  const item = element('li', words, severity === 'error' ? {class: 'danger'} : {});
  const {box, lines, was} = from[place] || {};
  const at = row ? `, ${lines?.[row - 1] || `line ${row}`}` : '';
  inTerms(item, from);
  if (place !== 'saltwright') item.prepend(box ? to(box, box.dataset.called + at) : (was || place) + at, ': ');
  return item;
}

function list(text, into, from = {}) {
  const lines = text.split('\n').filter(line => line && !/^Try: /.test(line));
  const items = element('ul', '', {class: 'cautions'});
  items.append(...lines.map(line => complaint(line, from)));
  into.replaceChildren(...(lines.length ? [items] : []));
}

let waits = ''; /* the words while it calculates */

/* What stands below is of other blanks: it is not to be read, nor printed. */
function stale(is) {
  document.body.classList.toggle('stale', is);
  by('answer').setAttribute('aria-busy', is);
  by('go-on').hidden = true;
  for (const button of all('#printing button')) button.disabled = is;
  misread();
  if (!is) return;
  waits = 'Calculating for the changed blanks' +
    (by('answer').querySelector('.stop, .danger') ? '; the danger shown for those before may still hold' : '');
  by('state').textContent = `${waits} ...`;
}

function show(made, result) {
  const failed = result.code > 1 || !result.made['sheet.html'];
  if (failed) by('answer').replaceChildren();
  else lay(result);
  inTerms(by('answer'), made.from);
  const said = result.err.split('\n');
  const aside = line => /^(?:(?!error:).)*\b(note|warning): /.test(line);
  list(failed ? said.filter(line => !aside(line)).join('\n') : '', by('wrong'), made.from);
  const notes = element('div');
  list((failed ? said.filter(aside) : said).join('\n'), notes, made.from);
  if (notes.firstChild) {
    by('answer').append(fold('Notes on what was given', [notes], false));
  }
  by('after').hidden = false;
  by('printing').hidden = failed;
  by('print').textContent = by('answer').textContent.includes('Page 2: ') ? 'Print pages 1 and 2' : 'Print page 1';
  by('command').textContent = commandLine(made.argv);
  by('text').textContent = result.out;
  const verdict = by('answer').querySelector('.result')?.textContent;
  const unused = made.unused.length
    ? ` Not used by ${made.command}: ${made.unused.map(o => made.from[`--${o}`].box.dataset.called || `--${o}`).join(', ')}.` : '';
  by('state').textContent =
    (failed ? 'There is something wrong with what was given:' : verdict ? '' : 'Done.') + unused;
  last = {result, failed};
  asks = '';
  stale(false);
}

function missing(words) {
  by('state').textContent = words;
  by('wrong').replaceChildren();
  by('answer').replaceChildren();
  by('after').hidden = by('printing').hidden = true;
  last = null;
  stale(false);
  by('go-on').hidden = words !== STOPPED;
}

/* ---- What was understood of the water -------------------------------------- */

let understood = null; /* the blanks of which that stands in the margin */
let misunderstood = false;
const waterBlanks = () => JSON.stringify([value('water'), value('units'), value('meant'), given.water.map(file => file.number)]);
const misread = () => by('understood').setAttribute('aria-busy', understood !== waterBlanks());

async function understand() {
  const draft = new Draft(), same = waterBlanks();
  if (same === understood) return;
  const names = draft.analysis('water'), results = [];
  for (const meaning of linesOf(value('meant'))) draft.put('read-as', meaning, blank('meant'));
  if (value('units')) draft.put('units', value('units'), blank('units'));
  const argv = [...draft.asked.flatMap(([option, text]) => [`--${option}`, text]), '--format', 'json', '--sheet', 'water.html'];
  draft.from['--water'] = {box: blank('water')};
  for (const name of names) results.push(await ask(['audit', '--water', name, ...argv], draft.files, ['water.html']));
  const fails = result => result.code > 1 || !result.made['water.html'];
  const whole = results.every(Boolean); /* else stopped: not yet */
  understood = whole ? same : null;
  misunderstood = whole && results.some(fails);
  misread();
  by('understood').replaceChildren();
  offerSamples(whole && names.length === 1 && !misunderstood
    ? (JSON.parse(results[0].out).samples || []).map(row => row.sample) : []);
  by('several').hidden = names.length < 2 && samples.length < 2;
  for (const [i, result] of whole ? results.entries() : []) {
    const part = element('div');
    if (fails(result)) list(result.err, part, draft.from);
    else tellWater(result, part);
    inTerms(part, draft.from);
    if (names.length > 1) part.prepend(element('h3', names[i]));
    by('understood').append(part);
  }
}

function tellWater(result, into) {
  const {main} = parse(result.made['water.html']);
  const sections = all('.client > section, .evidence > section', main);
  const verdict = sections.find(s => titleOf(s) === 'Result');
  verdict?.querySelector('h2').remove();
  const readings = sections.filter(s => titleOf(s) === 'Read as');
  into.append(...(verdict ? [verdict] : []), ...readings.map(s => foldSection(s, true)),
    ...sections.filter(s => s !== verdict && !readings.includes(s)).map(s => foldSection(s, false)));
}

function offerSamples(names) {
  if (String(names) === String(samples)) return;
  samples = names;
  by('which').hidden = names.length < 2;
  blank('sample').replaceChildren(element('option', '(which?)', {value: '?'}), ...names.map(name => element('option', name, {value: name})),
    element('option', 'all of them', {value: ''}));
}

/* ---- As blanks change -------------------------------------------------------- */

let changes = 0, due = 0, again = false, calculating = false, clock = 0;

function changed() {
  changes++;
  stale(true);
  clearTimeout(due);
  due = setTimeout(calculate, 200);
  for (const part of all('[data-when]'))
    part.hidden = (part.dataset.when === 'stock') !== (value('vessel') !== '');
  const set = blank('crop').selectedOptions[0];
  const own = value('bag') || given.target.length; /* its stages count, not the set's */
  const stages = own ? [] : (set.dataset.stages || '').split('|').filter(Boolean);
  by('leaves').hidden = !value('meant');
  if (by('stage').hidden !== !stages.length || blank('stage').dataset.of !== set.value) {
    by('stage').hidden = !stages.length;
    blank('stage').dataset.of = set.value;
    blank('stage').replaceChildren(element('option', 'each of them', {value: ''}),
      ...stages.map(name => element('option', name, {value: name})));
  }
  for (const part of all('.ask details'))
    part.querySelector('summary').classList.toggle('used', all('[name], [data-for]', part).some(filled));
  const ticked = all('[name="product"]:checked').map(box => box.value);
  const [target] = given.target, [shelf] = given.shelf, bag = value('bag');
  const others = [bag && target && `the file ${target.name}`, all('[name="figure"]').some(filled) && 'your own figures',
    set.value && 'the published set'];
  stand(by('crop-margin'), bag ? `In use: the bag's table.${unused(others)}`
    : target ? `What ${target.name} holds.${unused(others)}`
      : set.dataset.source || 'A set of targets as somebody published it; its source will stand here.',
  set.value && !target && !bag ? [['Its figures', ['catalogue', '--targets', set.value]]] : []);
  stand(by('shelf-margin'), shelf ? `What ${shelf.name} holds.${unused([ticked.length && 'the products ticked'])}`
    : ticked.length ? 'On the shelf:' : 'The common straights, which the sheet names, unless you say what you have.',
  shelf ? [] : ticked.map(name => [name, ['catalogue', name]]));
  const chosen = value('given') || given.recipe.length, tanks = value('vessel') && 'the stock tanks';
  stand(by('mixing-margin'), value('solution') || given.solution.length
    ? `In use: the tank that recirculates.${unused([chosen && 'the amounts chosen', tanks])}`
    : chosen ? `The amounts chosen are checked in this water; no others are calculated.${unused([tanks])}` : '', []);
}

/* Of several answers to one question, those that do not count. */
function unused(names) {
  const there = names.filter(Boolean);
  return there.length ? ` Not used: ${there.join(', ')}.` : '';
}

/* Words in the margin, and under them what the catalogue tells when asked. */
function stand(margin, text, entries) {
  if (margin.dataset.says === text + entries) return;
  margin.dataset.says = text + entries;
  margin.replaceChildren(...(text ? [element('p', text)] : []), ...entries.map(([title, argv]) => {
    const entry = element('details');
    entry.append(element('summary', title));
    entry.addEventListener('toggle', async () => {
      const told = await ask([...argv, '--sheet', 'told.html'], {}, ['told.html']);
      if (told && told.made['told.html']) entry.append(...all('.evidence > *', parse(told.made['told.html']).main));
    }, {once: true});
    return entry;
  }));
}

function tell() {
  const seconds = running ? (performance.now() - running.since) / 1000 : 0;
  by('stopping').hidden = seconds < 0.4;
  if (seconds >= 0.4) by('state').textContent = `${waits}, ${seconds.toFixed(0)} s`;
}

async function calculate() {
  if (calculating) {
    again = true;
    if (running && performance.now() - running.since > 1500) stop();
    return;
  }
  calculating = true;
  clock = setInterval(tell, 200);
  do {
    again = false;
    try {
      await fillIn(changes);
    } catch (e) {
      missing(e.message);
    }
  } while (again);
  clearInterval(clock);
  by('stopping').hidden = true;
  calculating = false;
}

async function fillIn(of) {
  await understand();
  const made = await plan();
  const result = made.missing ? null : await ask(made.argv, made.files, ['sheet.html']);
  if (of !== changes) return; /* of other blanks than these: not to be shown */
  if (made.missing) missing(made.missing);
  else if (result) show(made, result);
  else missing(STOPPED);
}

/* ---- Files given ---------------------------------------------------------------- */

const plain = name => name.replace(/[/\\:\u0000-\u001f]/g, '-').replace(/^[-.]+/, '') || 'file.csv';

const typedFor = what => document.querySelector(`textarea[name="${what === 'recipe' ? 'given' : what}"]`);

/* UTF-8 or UTF-16 as it begins, else as Windows has it. */
function textOf(bytes) {
  const wide = {255: 'utf-16le', 254: 'utf-16be'}[bytes[0]];
  try {
    return new TextDecoder(wide || 'utf-8', {fatal: true}).decode(bytes);
  } catch (e) {
    return new TextDecoder('windows-1252').decode(bytes);
  }
}

function slips(what) {
  const place = document.querySelector(`[data-for="${what}"]`).closest('p'), typed = typedFor(what);
  all(`.slip[data-of="${what}"]`).forEach(slip => slip.remove());
  for (const file of given[what]) place.before(slip(what, file, typed));
  if (typed) typed.hidden = given[what].length > 0;
}

/* A file that was given, and what can be done with it. */
function slip(what, file, typed) {
  const renamed = file.was === file.name ? '' : `(given as ${file.was}) `;
  const made = element('p', `${file.name} ${renamed}${file.before ? 'was replaced by the file of that name given last. ' : ''}`,
    {class: 'slip', 'data-of': what});
  const offer = (words, name, does) => made.append(button(words, () => {
    does();
    slips(what);
    changed();
  }, {'aria-label': `${words}${name}`}));
  if (file.before) offer('Keep both', `: ${file.was}`, () => {
    const {bytes, before} = file;
    Object.assign(file, {bytes: before, before: null, number: ++numbered});
    add(what, file.was, bytes);
  });
  offer('take away', ` ${file.name}`, () => { given[what] = given[what].filter(f => f !== file); });
  /* A fault in it is mended as if it had been typed. */
  if (typed && !/^(PK|%PDF)/.test(textOf(file.bytes.slice(0, 4)))) offer('change its text', `: ${file.name}`, () => {
    typed.value = textOf(file.bytes);
    typed.rows = 8;
    typed.hidden = false;
    typed.focus();
    given[what] = [];
  });
  return made;
}

/* The command finds its files in one folder, beside those written of the blanks:
 * each needs a name of its own, however its letters are cased. */
const written = [...all('[data-file]').map(box => box.dataset.file), 'target.csv', 'shelf.csv', 'recipe.csv',
  'label.txt', 'blanks.json', 'command.sh', 'sheet.html', 'water.html', 'told.html'];
const folded = name => name.normalize().toLowerCase();

let numbered = 0;
function add(what, name, bytes) {
  const there = new Set([...written, ...Object.values(given).flat().map(f => f.name)].map(folded));
  const [, stem, end = ''] = /^(.*?)(\.[^.]*)?$/.exec(name);
  let free = name;
  for (let n = 2; there.has(folded(free)); n++) free = `${stem}-${n}${end}`;
  given[what].push({name: free, was: name, bytes, number: ++numbered});
}

const alike = (a, b) => String(a) === String(b);

async function take(what, list) {
  const taken = await Promise.all([...list].map(async file =>
    ({name: plain(file.name), bytes: new Uint8Array(await file.arrayBuffer())})));
  if (!taken.length) return;
  if (what !== 'water' || taken.length > 1) given[what] = [];
  for (const {name, bytes} of taken) {
    const same = given[what].filter(file => file.was === name);
    if (same.some(file => alike(file.bytes, bytes))) continue;
    if (!same.length || taken.length > 1) add(what, name, bytes);
    else Object.assign(same.at(-1), {bytes, before: same.at(-1).bytes, number: ++numbered});
  }
  slips(what);
  changed();
}

/* ---- On paper ----------------------------------------------------------------------- */

/* Page 1, 2 and, where asked for, the evidence: as the command's own page. */
function toPaper() {
  const paper = by('paper');
  if (!last || last.failed || by('print').disabled) return;
  const {main, style} = parse(last.result.made['sheet.html']);
  paper.replaceChildren(...main.children);
  document.body.classList.add('printing');
  if (document.adoptedStyleSheets) {
    const sheet = new CSSStyleSheet();
    sheet.replaceSync(style);
    document.adoptedStyleSheets = [sheet];
  }
}

function fromPaper() {
  document.body.classList.remove('printing', 'whole');
  by('paper').replaceChildren();
}

/* ---- Wiring --------------------------------------------------------------------------- */

by('form').addEventListener('change', e => {
  if ('bare' in e.target.dataset) e.target.value = withUnit(e.target);
});
by('form').addEventListener('input', e => {
  if (!e.target.name) return; /* no blank: what finds, keeps and opens */
  if (e.target.type === 'checkbox') asks = e.target.checked ? e.target.name : '';
  changed();
});
for (const input of all('[data-for]'))
  input.addEventListener('change', () => {
    take(input.dataset.for, input.files);
    input.value = '';
  });
/* The blank for a file that it is dropped on, by its line or the lines of its
 * text; a report dropped anywhere else is the water's. */
function hit(place) {
  const line = place.closest?.('p, textarea');
  const input = line?.querySelector('[data-for]');
  const typed = line && Object.keys(given).find(what => line === typedFor(what));
  return input?.dataset.for || typed || 'water';
}
addEventListener('dragover', e => e.preventDefault());
addEventListener('drop', e => {
  if (!e.dataTransfer.files.length) return;
  e.preventDefault();
  take(hit(e.target), e.dataTransfer.files);
});
/* Names are compared as join.py bares them. */
by('find').addEventListener('input', () => {
  const sought = by('find').value.normalize('NFD').toLowerCase().split(/\s+/).map(word => word.replace(/[^a-z0-9.%]/g, '')).filter(Boolean);
  const boxes = all('#products label');
  for (const product of boxes) product.hidden = !sought.every(word => product.dataset.names.includes(word));
  by('found').textContent = sought.length ? `${boxes.filter(product => !product.hidden).length} found` : '';
});
by('stop').onclick = stop;
by('go-on').onclick = changed;
by('print').onclick = () => print();
by('print-all').onclick = () => {
  document.body.classList.add('whole');
  print();
};
addEventListener('beforeprint', toPaper);
addEventListener('afterprint', fromPaper);
by('save-sheet').onclick = () =>
  download(new Blob([last.result.made['sheet.html']], {type: 'text/html'}), `${nameOfClient()}.html`);
/* What comes of keeping and opening; what goes wrong with it stands beside it. */
async function attempt(what, does) {
  by('keeping').replaceChildren();
  try {
    await does();
  } catch (e) {
    list(`${what}: error: ${e.message}`, by('keeping'));
  }
}
by('save').onclick = () => attempt('saltwright', async () => {
  download(await folder(), `${nameOfClient()}.zip`);
  safe = standing();
});
by('open').onchange = () => {
  const file = by('open').files[0];
  attempt(file.name, async () => open(await file.arrayBuffer()));
  by('open').value = '';
};
by('keep').onclick = () => attempt('saltwright', keep);
by('reopen').onclick = () => by('kept').value && attempt(by('kept').value, () =>
  open(Uint8Array.from(atob(localStorage.getItem(prefix + by('kept').value)), c => c.charCodeAt(0)).buffer));
by('forget').onclick = () => {
  localStorage.removeItem(prefix + by('kept').value);
  by('forget').closest('details').open = false;
  offerKept();
};
/* Of what is neither saved nor kept the browser asks, before it is left. */
addEventListener('beforeunload', e => {
  if (standing() === safe) return;
  e.preventDefault();
  e.returnValue = true; /* for older ones */
});
offerKept();
optionsOf('formulate').catch(e => missing(e.message)); /* and so the command is ready */
changed();
let safe = standing();
