// SPDX-License-Identifier: GPL-3.0-or-later
// test_page.mjs BROWSER PAGE SALTWRIGHT FOLDER [NAME ...] : the sessions of
// sessions.mjs (all, or those whose name holds a NAME) in `chromium` or `firefox`,
// from the disk.  Each one's folder is saved, opened again, and given to the
// command: page, opened page and command must agree byte for byte.  Pictures and
// printed pages go to FOLDER, to be looked at.
import {createServer} from 'node:http';
import {execFileSync, spawnSync} from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import {createRequire} from 'node:module';
import {sessions} from './sessions.mjs';

const [browserName, pageFile, command, folder, ...names] = process.argv.slice(2);
const require = createRequire(path.resolve(process.env.PAGE_TOOLS, 'package.json'));
const puppeteer = require('puppeteer-core').default ?? require('puppeteer-core');
const axe = fs.readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8');
const chromium = browserName === 'chromium';
/* What the page may hold its reader up, and take to its first weights: the best of
 * some tries, and of a machine that others have more of than this test, told only. */
const MOST_BLOCKED_MS = 100, FIRST_WEIGHTS_MS = 1500, TRIES = 4;
const busy = () => os.loadavg()[0] > 2 * os.cpus().length;

const url = `file://${path.resolve(pageFile)}`;
fs.mkdirSync(folder, {recursive: true});
const bin = fs.mkdtempSync(path.join(os.tmpdir(), 'page-bin-'));
fs.symlinkSync(path.resolve(command), `${bin}/saltwright`);

let failures = 0, checks = 0;
function check(true_, what) {
  checks++;
  if (true_) return;
  failures++;
  console.log(`FAILED ${browserName}: ${what}`);
}

const browser = await puppeteer.launch(chromium
  ? {executablePath: '/usr/bin/chromium', args: ['--no-sandbox', '--disable-gpu']}
  : {browser: 'firefox', executablePath: '/usr/bin/firefox-esr'});
const page = await browser.newPage();
const requests = [], problems = [];
page.on('request', r => requests.push(r.url()));
page.on('pageerror', e => problems.push(String(e)));
page.on('console', m => m.type() === 'error' && problems.push(m.text()));
let asked = 0; /* whether to leave what is not saved */
page.on('dialog', d => {
  if (d.type() === 'beforeunload') asked++;
  else problems.push(`dialog ${d.message()}`);
  return d.type() === 'beforeunload' ? d.accept() : d.dismiss();
});

/* Until it holds in the page; asked from here, since in an older Firefox what waits
 * there is made of text, which the page's policy lets nobody do. */
async function until(holds, ms = 60000, ...given) {
  for (const end = Date.now() + ms; !(await page.evaluate(holds, ...given));) {
    if (Date.now() > end) throw new Error(`in ${ms} ms it did not come to ${holds}`);
    await new Promise(done => setTimeout(done, 20));
  }
}

const settled = () => until(
  () => !calculating && !running && !document.body.classList.contains('stale') && performance.now() - lastChange > 300);

/* An older Firefox has the width, but no orientation. */
async function view(width) {
  await page.setViewport({width, height: 900}).catch(e => { if (!/unknown command/.test(e)) throw e; });
  await until(width => innerWidth === width, 5000, width);
}

async function fresh() {
  await page.goto(url);
  await page.evaluate(() => {
    window.lastChange = 0;
    document.addEventListener('input', () => { lastChange = performance.now(); }, true);
    document.addEventListener('drop', () => { lastChange = performance.now(); }, true);
    window.answered = 0; /* when the last answer, or complaint, came to stand there */
    new MutationObserver(() => { answered = performance.now(); }).observe(by('state'),
      {childList: true, characterData: true, subtree: true});
    window.blocked = 0;
    let before = performance.now();
    setInterval(() => {
      const now = performance.now();
      blocked = Math.max(blocked, now - before - 5);
      before = now;
    }, 5);
  });
  await page.evaluate(async () => { await turn; });
}

/* Drops files on their blank, or where it is said. */
const drop = (what, files, place = `[data-for="${what}"]`) => page.evaluate(async (files, place) => {
  const before = changes;
  const transfer = new DataTransfer();
  for (const [name, base64] of files)
    transfer.items.add(new File([Uint8Array.from(atob(base64), c => c.charCodeAt(0))], name));
  document.querySelector(place).dispatchEvent(
    new DragEvent('drop', {dataTransfer: transfer, bubbles: true, cancelable: true}));
  while (changes === before) await new Promise(done => setTimeout(done, 5)); /* until it is read */
}, files, place);

const set = (selector, text) => page.evaluate((selector, text) => {
  const field = document.querySelector(selector);
  if (field.type === 'checkbox') field.checked = text;
  else field.value = text;
  if (field.value !== text && field.type !== 'checkbox') throw new Error(`${selector} does not take ${text}`);
  field.dispatchEvent(new Event('input', {bubbles: true}));
}, selector, text);

async function fill(session) {
  for (const [name, text] of Object.entries(session.keys || {})) await page.type(`[name="${name}"]`, text);
  for (const what in session.files || {})
    for (const file of session.files[what])
      await drop(what, [[path.basename(file), fs.readFileSync(file).toString('base64')]]);
  for (const what in session.texts || {})
    for (const [name, text] of session.texts[what]) await drop(what, [[name, Buffer.from(text).toString('base64')]]);
  for (const what in session.bytes || {}) await drop(what, session.bytes[what].map(([name, bytes]) => [name, bytes.toString('base64')]));
  for (const product of session.products || []) await set(`[name="product"][data-was="${product}"]`, true);
  for (const of in session.figures || {}) await set(`[data-of="${of}"]`, String(session.figures[of]));
  const {crop, ...others} = session.blanks || {};
  if (crop) await set('[name="crop"]', crop);
  if (session.sample !== undefined) {
    await settled();
    await set('[name="sample"]', session.sample);
  }
  for (const name in others) await set(`[name="${name}"]`, others[name]);
  for (const name of session.ticks || []) await set(`[name="${name}"]`, true);
  for (const choice of session.choices || []) {
    await settled();
    await page.click(`#wrong [aria-label="${choice}"]`);
    await page.evaluate(() => { lastChange = performance.now(); });
  }
  await settled();
  return page.evaluate(() => Math.round(answered - lastChange));
}

const shown = () => page.evaluate(() => ({
  command: by('command').textContent, text: by('text').textContent, sheet: last?.result.made['sheet.html'],
  code: last?.result.code, err: last?.result.err, wrong: by('wrong').textContent, blocked: window.blocked,
  answer: by('answer').textContent, stops: document.querySelectorAll('#answer .stop').length}));

/* The folder as it is saved, from the disk again, and what the command makes of it. */
async function saved(place) {
  const base64 = await page.evaluate(async () => base64(new Uint8Array(await (await folder()).arrayBuffer())));
  fs.rmSync(place, {recursive: true, force: true});
  fs.mkdirSync(place, {recursive: true});
  fs.writeFileSync(`${place}.zip`, Buffer.from(base64, 'base64'));
  execFileSync('python3', ['-m', 'zipfile', '-e', `${place}.zip`, place]);
  const run = spawnSync('sh', ['command.sh'], {cwd: place, encoding: 'utf8', maxBuffer: 1 << 26,
    env: {PATH: `${bin}:/usr/bin:/bin`, LC_ALL: 'C.UTF-8', NO_COLOR: '1', HOME: '/nonexistent'}});
  const sheet = `${place}/sheet.html`;
  return {...run, sheet: fs.existsSync(sheet) ? fs.readFileSync(sheet, 'utf8') : undefined};
}

async function accessible(name) {
  for (const scheme of chromium ? ['light', 'dark'] : ['light']) {
    if (chromium) await page.emulateMediaFeatures([{name: 'prefers-color-scheme', value: scheme}]);
    await page.evaluate(() => all('details').forEach(d => { d.open = true; }));
    /* By the debugger: the page itself lets nothing in. */
    await page.evaluate(axe);
    const found = await page.evaluate(async () => (await axe.run(document, {resultTypes: ['violations']})).violations
      .map(v => `${v.id}: ${v.nodes[0].html.slice(0, 150)}`));
    check(!found.length, `${name}, ${scheme}: ${found.join('; ')}`);
  }
  if (chromium) await page.emulateMediaFeatures([]);
}

async function pictures(name) {
  for (const width of [1280, 390])
    for (const scheme of chromium ? ['light', 'dark'] : ['light']) {
      await view(width);
      if (chromium) await page.emulateMediaFeatures([{name: 'prefers-color-scheme', value: scheme}]);
      await page.screenshot({path: `${folder}/${browserName}-${name}-${width}-${scheme}.png`, fullPage: true});
      const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      check(wide <= 0, `${name} at ${width} px: ${wide} px too wide`);
    }
  await view(1280);
  if (chromium) await page.emulateMediaFeatures([]);
}

/* Each page of a PDF as pixels. */
function pixels(pdf, first, most) {
  execFileSync('pdftoppm', ['-r', '72', '-l', String(most), pdf, first]);
  const files = fs.readdirSync(path.dirname(first)).filter(f => f.startsWith(`${path.basename(first)}-`)).sort();
  return files.map(f => fs.readFileSync(path.join(path.dirname(first), f)));
}

/* All of it, printed, is the command's own sheet, printed; pages 1 and 2 begin it. */
async function printed(name) {
  const of = what => `${folder}/${name}-${what}`;
  await page.evaluate(() => document.body.classList.add('whole'));
  await page.pdf({path: `${of('page')}.pdf`, preferCSSPageSize: true, format: 'A4'});
  await page.pdf({path: `${of('two')}.pdf`, preferCSSPageSize: true, format: 'A4'});
  fs.writeFileSync(`${of('sheet')}.html`, (await shown()).sheet);
  const other = await browser.newPage();
  await other.goto(`file://${path.resolve(of('sheet'))}.html`);
  await other.pdf({path: `${of('sheet')}.pdf`, preferCSSPageSize: true, format: 'A4'});
  await other.close();
  const [whole, sheet] = ['page', 'sheet'].map(what => pixels(`${of(what)}.pdf`, of(what), 99));
  check(whole.length === sheet.length && whole.every((p, i) => p.equals(sheet[i])),
    `${name}: it prints otherwise than the sheet: ${of('page')}.pdf, ${of('sheet')}.pdf`);
  const text = what => execFileSync('pdftotext', ['-layout', `${of(what)}.pdf`, '-'], {encoding: 'utf8'})
    .replace(/page \d+ of \d+/g, '').replace(/\s+/g, ' ');
  check(text('sheet').startsWith(text('two').trim().slice(0, -1)), `${name}: pages 1 and 2 are others`);
}

async function once(session, place) {
  await fresh();
  const took = await fill(session);
  return {took, ...(await shown())};
}

async function reopened(place, before, name) {
  await fresh();
  const input = await page.$('#open');
  await input.uploadFile(`${place}.zip`);
  await until(() => !!last, 30000).catch(() => {});
  await settled();
  const after = await shown();
  check(after.command === before.command && after.text === before.text && after.sheet === before.sheet,
    `${name}: opened again it is another: ${after.command}`);
}

async function run(session, number) {
  const {name} = session, place = path.resolve(folder, `${browserName}-${number}`);
  let seen, blocked = Infinity, took = Infinity;
  const late = () => blocked > MOST_BLOCKED_MS || (!session.slow && took > FIRST_WEIGHTS_MS);
  for (let i = 0; i === 0 || (i < TRIES && late() && !busy()); i++) {
    seen = await once(session, place);
    blocked = Math.min(blocked, seen.blocked);
    took = Math.min(took, seen.took);
  }
  console.log(`${browserName} ${number} ${name}: ${took} ms, blocked ${blocked.toFixed(0)} ms, exit ${seen.code}`);
  check(busy() || blocked <= MOST_BLOCKED_MS, `${name}: blocked for ${blocked} ms`);
  check(busy() || session.slow || took <= FIRST_WEIGHTS_MS, `${name}: weights after ${took} ms`);
  check(seen.command.startsWith(`saltwright ${session.command} `), `${name}: ${seen.command}`);
  check(session.fails ? seen.code > 1 : seen.code <= 1, `${name}: exit ${seen.code}: ${seen.err}`);
  const where = session.fails ? seen.wrong : seen.text + seen.answer;
  check(where.includes(session.says), `${name}: nothing says ${session.says}`);
  check(!/\b(note|warning): /.test(seen.wrong), `${name}: the alarm is of notes too: ${seen.wrong}`);
  check(!session.alarm || seen.stops > 0, `${name}: no alarm stands out`);
  const native = await saved(place);
  check(native.status === seen.code, `${name}: the command ends with ${native.status}`);
  check(native.stdout === seen.text, `${name}: the command prints otherwise: ${place}`);
  check(native.stderr === seen.err, `${name}: the command complains otherwise: ${native.stderr}`);
  check(native.sheet === seen.sheet, `${name}: the command's sheet is another: ${place}`);
  if (session.shots) await pictures(String(number));
  if (session.axe) await accessible(name);
  if (session.print && chromium) await printed(String(number));
  await reopened(place, seen, name);
}

/* Nothing may leave: neither what the page asks for, nor what is put into it. */
async function closed() {
  let reached = 0;
  const server = createServer((_, response) => { reached++; response.end('x'); });
  await new Promise(done => server.listen(0, '127.0.0.1', done));
  const there = `http://127.0.0.1:${server.address().port}/`;
  await fresh();
  const refused = await page.evaluate(async there => {
    const image = new Image();
    const shown = new Promise(done => { image.onload = () => done(true); image.onerror = () => done(false); });
    image.src = there;
    const fetched = await fetch(there, {mode: 'no-cors'}).then(() => true, () => false);
    return !fetched && !(await shown);
  }, there);
  check(refused && !reached, `the policy lets requests through: ${reached}`);
  server.close();
}

/* A long search is stopped, and the sheet goes on. */
async function stopped() {
  await fresh();
  await drop('water', [['well.csv', fs.readFileSync(well).toString('base64')]]);
  await set('[name="crop"]', 'yamazaki-lettuce');
  await settled();
  await set('[name="trade-off"]', true);
  const seen = await until(() => !by('stopping').hidden, 20000).then(() => true, () => false);
  if (seen) await page.evaluate(() => by('stop').click());
  await settled();
  check(!seen || (await page.evaluate(() => by('state').textContent)) === 'Stopped.', 'Stop does not stop');
  await page.evaluate(() => {
    blank('trade-off').checked = false;
    if (by('go-on').hidden) changed();
    else by('go-on').click();
  });
  check(!seen || await page.evaluate(() => document.body.classList.contains('stale')), 'nothing goes on after Stop');
  await settled();
  check((await shown()).answer.includes('Mix in this order'), 'nothing comes after Stop');
}

/* The weights of other blanks are neither read nor printed. */
async function outdated() {
  await fresh();
  await drop('water', [['well.csv', fs.readFileSync(well).toString('base64')]]);
  await set('[name="crop"]', 'yamazaki-lettuce');
  await settled();
  const looks = () => page.evaluate(() => ({said: by('state').textContent,
    seen: [...by('answer').children].some(part => getComputedStyle(part).visibility === 'visible'),
    read: [...by('understood').children].some(part => getComputedStyle(part).visibility === 'visible')}));
  const settledLooks = await looks();
  check(settledLooks.seen && settledLooks.read, 'nothing is seen of what came out');
  await set('[name="volume"]', '10 L');
  await page.evaluate(() => clearTimeout(due)); /* held as it is for a slow machine */
  const now = await looks();
  check(!now.seen && now.read && /^Calculating/.test(now.said), `other weights are seen: ${JSON.stringify(now)}`);
  await set('#water', 'Ca = 40 mg/L');
  await set('[name="units"]', 'ppm');
  await page.evaluate(() => clearTimeout(due));
  check(!(await looks()).read, 'what was read of another water is seen');
  if (chromium) {
    await page.pdf({path: `${folder}/outdated.pdf`});
    const text = execFileSync('pdftotext', ['-layout', `${folder}/outdated.pdf`, '-'], {encoding: 'utf8'});
    check(/Still calculating/.test(text) && !/Mix in this order|Tank|\d g\b/.test(text), `other weights are printed: ${text}`);
  }
  await page.evaluate(() => { lastChange = performance.now(); changed(); });
  await settled();
  check((await looks()).seen, 'no new weights are seen');
}

/* A report is the water's wherever it falls, but on the blank of another file. */
async function dropped() {
  const places = {body: 'water', '#h-crop': 'water', '#h-mixing': 'water', '[name="volume"]': 'water', '#products': 'water',
    '[data-for="shelf"]': 'shelf', '#given': 'recipe', '#solution': 'solution', '#water': 'water'};
  for (const place in places) {
    await fresh();
    await drop('', [['well.csv', fs.readFileSync(well).toString('base64')]], place);
    await settled();
    const taken = await page.evaluate(() => Object.keys(given).filter(what => given[what].length).join());
    check(taken === places[place], `what falls on ${place} is of ${taken}`);
  }
  await (await page.$('[data-for="recipe"]')).uploadFile('examples/recipe.csv');
  await until(() => given.recipe[0]?.name === 'recipe-2.csv', 5000)
    .catch(() => check(false, 'a file that was chosen is not taken'));
}

/* What is filled in but does not count is told, folded as it may be. */
async function notUsed() {
  await fresh();
  const says = async (margin, words) => {
    const told = await page.evaluate(id => by(id).textContent, margin);
    check(told.includes(words), `${margin} says ${told}`);
  };
  await drop('target', [['basil.csv', fs.readFileSync('examples/basil.csv').toString('base64')]]);
  await settled();
  await set('[data-of="Fe"]', '2');
  await set('[name="crop"]', 'steiner');
  await says('crop-margin', 'What basil.csv holds. Not used: your own figures, the published set.');
  await set('[name="bag"]', 'MKP = 0.2 g/L');
  await says('crop-margin', 'Not used: the file basil.csv, your own figures, the published set.');
  await set('[name="vessel"]', 'two');
  await set('[name="given"]', 'MKP = 0.2 g/L');
  await says('mixing-margin', 'no others are calculated. Not used: the stock tanks.');
  check(await page.evaluate(() => document.querySelectorAll('.ask summary.used').length) === 3, 'folded blanks hide that they count');
}

/* What would be read otherwise than it was meant is asked for in words. */
async function askedAgain() {
  await fresh();
  await drop('water', [['well.csv', fs.readFileSync(well).toString('base64')]]);
  await set('[name="crop"]', 'yamazaki-lettuce');
  const holds = async (name, text, words) => {
    await set(`[name="${name}"]`, text);
    await settled();
    const said = await page.evaluate(() => by('state').textContent);
    check(words ? said.includes(words) && !(await shown()).sheet : (await shown()).sheet, `${name} ${text}: ${said}`);
  };
  await holds('volume', '1.000 L', 'write 1000 L or 1 L');
  await holds('volume', '2,500 gal', 'write 2500 gal or 2.5 gal');
  await holds('volume', '1.000', 'write 1000 L or 1 L');
  await holds('volume', '1000 L');
  await holds('volume', '0.500 L');
  await holds('volume', '300');
  check((await shown()).command.includes('--volume 300L'), 'a volume without a unit is not of litres');
  await set('[name="amounts"]', 'us');
  await holds('volume', '');
  await page.type('[name="volume"]', '200');
  await page.keyboard.press('Tab');
  await settled();
  const told = await page.evaluate(() => value('volume'));
  check(told === '200 gal' && (await shown()).answer.includes('Recipe for 200 gal'), `200 is told as ${told}`);
  await set('[name="scale-step"]', '0.1');
  await settled();
  check((await shown()).command.includes('--scale-step 0.1oz'), 'a step of the scale without a unit is not of ounces');
  await set('[name="scale-step"]', '');
  await set('[name="amounts"]', '');
  await set('[name="vessel"]', 'two');
  await holds('tank', '', 'How large is each tank?');
  await holds('tank', '1.500 L', 'write 1500 L or 1.5 L');
  await holds('tank', '200 L');
  await holds('factor', '', 'Injected 1 to how many?');
  await holds('factor', '1:128');
  check((await shown()).command.includes('--factor 128'), '1:128 is not 1 to 128');
}

/* A file with a fault is changed as text, and the way to a blank opens what folds it. */
async function mended() {
  await fresh();
  await drop('water', [['Probe.csv', Buffer.from('Parameter;Wert;Einheit\npH;7,4;\nHydrogencarbonat;244;mg/L\nNitrat;22,5;mg/L\nCalcium;84,1;mg/L\n').toString('base64')]]);
  await set('[name="crop"]', 'yamazaki-lettuce');
  await settled();
  await page.click('[aria-label="change its text: Probe.csv"]');
  await set('#water', (await page.evaluate(() => by('water').value)).replace('Nitrat', 'NO3'));
  await settled();
  check((await shown()).answer.includes('Mix in this order'), 'what was changed as text is not used');
  await set('[data-of="K"]', 'x');
  await settled();
  await page.click('#wrong .to');
  check(await page.evaluate(() => document.activeElement.matches('.figures') && document.activeElement.checkVisibility()),
    'a complaint does not lead to its blank');
}

/* A file takes the place of one of its name, and says so; both are had for a click. */
async function replaced() {
  await fresh();
  const report = calcium => [['lab1.csv', Buffer.from(`parameter,value,unit\nCa,${calcium},mg/L\nHCO3,60,mg/L\n`).toString('base64')]];
  const waters = () => page.evaluate(() => given.water.map(file => `${file.name} ${/Ca,(\d+)/.exec(textOf(file.bytes))[1]}`).join());
  await drop('water', report(90));
  await drop('water', report(20));
  check(await waters() === 'lab1.csv 20', `of a file of the same name: ${await waters()}`);
  check(await page.evaluate(() => document.querySelector('.slip').textContent.includes('lab1.csv was replaced')), 'a file is replaced silently');
  await drop('water', report(20));
  await page.click('[aria-label="Keep both: lab1.csv"]');
  await settled();
  check(await waters() === 'lab1.csv 90,lab1-2.csv 20', `both are ${await waters()}`);
  const told = await page.evaluate(() => all('#understood h3').map(h => h.textContent).join() + all('#understood .danger').length);
  check(told === 'lab1.csv,lab1-2.csv0', `of two waters it is understood: ${told}`);
}

/* The crop is not asked for while the water is wrong. */
async function waterFirst() {
  await fresh();
  const says = async words => {
    await settled();
    const said = await page.evaluate(() => by('state').textContent);
    check(said.startsWith(words), `${said}, not ${words}`);
  };
  await set('#water', 'Ca = 62');
  await says('First the water');
  await page.click('#understood .to:last-of-type');
  check(await page.evaluate(() => document.activeElement.name) === 'units', 'a missing unit does not lead to the blank of units');
  await set('[name="units"]', 'mg/L');
  await says('Now the crop.');
}

/* Kept in the browser by a client's name, only when asked. */
async function kept() {
  await fresh();
  check(await page.evaluate(() => localStorage.length) === 0, 'something was kept unasked');
  await drop('water', [['well.csv', fs.readFileSync(well).toString('base64')]]);
  await set('[name="crop"]', 'yamazaki-lettuce');
  await settled();
  const before = await shown();
  await page.type('#name', 'Hill');
  await page.evaluate(() => by('keep').click());
  await until(() => /Kept/.test(by('keeping').textContent), 5000);
  await fresh();
  await page.evaluate(() => { by('kept').value = 'Hill'; by('reopen').click(); lastChange = performance.now(); });
  await until(() => !!last, 20000);
  await settled();
  check((await shown()).command === before.command, 'what was kept is another');
  execFileSync('python3', ['-m', 'zipfile', '-c', `${folder}/other.zip`, well]);
  await (await page.$('#open')).uploadFile(`${folder}/other.zip`);
  await until(() => by('keeping').textContent.includes('other.zip: this is no folder that was saved here'), 5000)
    .catch(() => check(false, 'nothing is said of a folder of another kind'));
  check((await shown()).command === before.command, 'a folder of another kind empties the blanks');
  check(!await page.evaluate(() => by('forget').checkVisibility()), 'what is kept is forgotten at once');
  await page.click('.sure summary');
  await page.click('#forget');
  check(await page.evaluate(() => localStorage.length) === 0, 'it is not forgotten');
}

/* The browser asks before what is neither saved nor kept is left, and only then; in
 * Firefox a driver is asked nothing. */
async function leaving() {
  const asks = async () => {
    asked = 0;
    await fresh();
    return asked > 0;
  };
  await fresh();
  await page.click('#water');
  check(!await asks(), 'it is asked where nothing is lost');
  await page.type('#water', 'Ca = 40 mg/L');
  check(!chromium || await asks(), 'what is not saved is left unasked');
  await page.type('#water', 'Ca = 40 mg/L');
  await page.evaluate(() => keep());
  check(!await asks(), 'it is asked where all is kept');
  await page.evaluate(() => localStorage.clear());
}

/* Products are found by any name of theirs, and the command knows what stands there. */
async function shelved() {
  await fresh();
  const found = async words => {
    await set('#find', words);
    return page.evaluate(() => all('#products label').filter(l => !l.hidden).map(l => l.firstChild.value));
  };
  for (const [words, product] of [['epsom', 'Epsom salt'], ['bittersalz', 'Epsom salt'], ['MgSO4 7H2O', 'Epsom salt'],
    ['mkp', 'monopotassium phosphate (MKP)'], ['fe edta', 'iron EDTA 13 %'], ['Fe-EDTA', 'iron EDTA 13 %'], ['15.5', 'calcium nitrate 15.5-0-0'],
    ['nitrate calcium', 'calcium nitrate 15.5-0-0'], ['borsaure', 'boric acid'], ['Bors\u00e4ure', 'boric acid']]) {
    const names = await found(words);
    check(names.includes(product) && names.length < 9, `${words} finds ${names}`);
  }
  const boxes = await page.evaluate(() => all('[name="product"]').map(box => [box.value, box.dataset.was]));
  for (const names of boxes.filter(([shown, was]) => shown !== was)) {
    const [shown, was] = names.map(name => spawnSync(command, ['catalogue', '--format', 'json', name], {encoding: 'utf8'}));
    check(shown.stdout && shown.stdout === was.stdout, `${names} are two: ${shown.error} ${shown.stderr} ${was.error} ${was.stderr}`);
  }
  check(boxes.length > 100, `there are ${boxes.length} products`);
}

/* From the first blank to the weights without a mouse. */
async function byKeys() {
  await fresh();
  const at = async sought => {
    for (let i = 0; i < 30; i++) {
      await page.keyboard.press('Tab');
      if (await page.evaluate(s => document.activeElement.matches(s), sought)) return true;
    }
    return false;
  };
  check(await at('#water'), 'no key leads to the water');
  await page.keyboard.type('Ca = 40 mg/L, alkalinity = 80 mg/L CaCO3, pH = 7.2');
  check(await at('[name="crop"]'), 'no key leads to the crop');
  await page.keyboard.type('lettuce');
  await page.evaluate(() => { lastChange = performance.now(); });
  await settled();
  check((await shown()).answer.includes('Mix in this order'), 'no weights by keys');
  check(await at('#print'), 'no key leads to printing');
}

const well = 'examples/well.csv';
const wanted = session => !names.length || names.some(name => session.name.includes(name));
await view(1280);
for (const [number, session] of sessions.entries())
  if (wanted(session))
    try {
      await run(session, number);
    } catch (e) {
      check(false, `${session.name}: ${e}`);
    }
for (const more of [byKeys, closed, stopped, outdated, dropped, notUsed, askedAgain, mended, replaced, waterFirst, kept, leaving, shelved].filter(wanted))
  try {
    await more();
  } catch (e) {
    check(false, `${more.name}: ${e}`);
  }
/* Refusals of what closed() tries are as they should be. */
const said = problems.filter(text => !/127\.0\.0\.1/.test(text));
check(!said.length, `the console says: ${[...new Set(said)].slice(0, 5).join('; ')}`);
if (busy()) console.log('the machine is busy: times are told, not judged');
const outside = requests.filter(r => !/^(file|blob|data|about):/.test(r) && !/127\.0\.0\.1/.test(r));
check(!outside.length, `requests: ${outside.slice(0, 3).join(' ')}`);
await browser.close();
fs.rmSync(bin, {recursive: true, force: true});
console.log(`${browserName}: ${checks - failures} of ${checks} checks hold`);
process.exit(failures ? 1 : 0);
