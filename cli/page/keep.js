/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Blanks and files as one file, or in the browser; before page.js, whose words it
 * uses when it is asked. */
'use strict';

/* ---- Kept as one file: a folder, zipped ------------------------------------------ */

const through = async (bytes, stream) =>
  new Uint8Array(await new Response(new Blob([bytes]).stream().pipeThrough(stream)).arrayBuffer());

/* Numbers of two or four bytes, the least first: [bytes, number], ... */
function packed(...fields) {
  const out = [];
  for (const [bytes, number] of fields)
    for (let i = 0; i < bytes; i++) out.push((number >>> (8 * i)) & 255);
  return Uint8Array.from(out);
}

/* PKWARE's APPNOTE; names in UTF-8.  A gzip of the bytes, which is ten bytes of head,
 * what they deflate to, their CRC and their length (RFC 1952), has all of an entry. */
async function zip(files) {
  const parts = [], index = [];
  let at = 0, indexSize = 0;
  for (const name in files) {
    const gzip = await through(files[name], new CompressionStream('gzip')), label = encoded(name);
    const bytes = gzip.subarray(10, -8), crc = new DataView(gzip.buffer).getUint32(gzip.length - 8, true);
    const head = [[2, 20], [2, 0x800], [2, 8], [2, 0], [2, 0x5a21], [4, crc],
      [4, bytes.length], [4, files[name].length], [2, label.length], [2, 0]];
    const local = packed([4, 0x04034b50], ...head);
    const entry = packed([4, 0x02014b50], [2, 20], ...head, [2, 0], [2, 0], [2, 0], [4, 0], [4, at]);
    parts.push(local, label, bytes);
    index.push(entry, label);
    at += local.length + label.length + bytes.length;
    indexSize += entry.length + label.length;
  }
  const count = index.length / 2;
  return new Blob([...parts, ...index, packed([4, 0x06054b50], [2, 0], [2, 0], [2, count],
    [2, count], [4, indexSize], [4, at], [2, 0])], {type: 'application/zip'});
}

async function unzip(buffer) {
  const view = new DataView(buffer), files = {};
  let end = buffer.byteLength - 22;
  while (end >= 0 && view.getUint32(end, true) !== 0x06054b50) end--;
  if (end < 0) throw new Error('this is not a zipped folder');
  let at = view.getUint32(end + 16, true);
  for (let n = view.getUint16(end + 10, true); n > 0; n--) {
    const method = view.getUint16(at + 10, true), size = view.getUint32(at + 20, true);
    const length = view.getUint16(at + 28, true), local = view.getUint32(at + 42, true);
    const name = new TextDecoder().decode(new Uint8Array(buffer, at + 46, length));
    const from = local + 30 + view.getUint16(local + 26, true) + view.getUint16(local + 28, true);
    const bytes = new Uint8Array(buffer.slice(from, from + size));
    if (!name.endsWith('/')) files[name.split('/').pop()] = method ? await through(bytes, new DecompressionStream('deflate-raw')) : bytes;
    at += 46 + length + view.getUint16(at + 30, true) + view.getUint16(at + 32, true);
  }
  return files;
}

const fields = () => all('#form [name]').filter(f => f.name !== 'product' && f.name !== 'figure');

function blanks() {
  const kept = {files: {}, products: all('[name="product"]:checked').map(b => b.value), figures: {}};
  for (const field of fields()) kept[field.name] = field.type === 'checkbox' ? field.checked : field.value;
  for (const box of all('[name="figure"]')) if (box.value.trim()) kept.figures[box.dataset.of] = box.value;
  for (const what in given) kept.files[what] = given[what].map(file => file.name);
  return kept;
}

/* All of what would be lost. */
const standing = () => JSON.stringify([blanks(), Object.values(given).flat().map(file => file.number)]);

async function folder() {
  const made = await plan();
  const files = {...(made.files || {})};
  for (const what in given) for (const file of given[what]) files[file.name] = file.bytes;
  if (made.argv) files['command.sh'] = encoded(`#!/bin/sh\n${commandLine(made.argv)}\n`);
  files['blanks.json'] = encoded(JSON.stringify(blanks(), null, 1) + '\n');
  return zip(files);
}

async function open(buffer) {
  const files = await unzip(buffer);
  if (!['blanks.json', 'water.csv', 'target.csv', 'shelf.csv'].some(name => files[name]))
    throw new Error('this is no folder that was saved here: nothing of it was taken, and the blanks are as they were');
  const text = name => new TextDecoder().decode(files[name]);
  const kept = files['blanks.json'] ? JSON.parse(text('blanks.json')) : {files: {}, products: [], figures: {}};
  /* A folder that a command laid out, or that was changed by hand. */
  for (const what in given) given[what] = [];
  for (const what in given)
    for (const name of (kept.files[what] || []).filter(name => files[name])) add(what, name, files[name]);
  for (const field of fields()) {
    if (field.type === 'checkbox') field.checked = !!kept[field.name];
    else field.value = kept[field.name] ?? field.defaultValue ?? ''; /* older folders lack some */
  }
  for (const box of all('[name="product"]')) box.checked = kept.products.some(name => [box.value, box.dataset.was].includes(name));
  for (const box of all('[name="figure"]')) box.value = kept.figures[box.dataset.of] || '';
  const draft = new Draft();
  draft.waters();
  draft.target();
  draft.shelf();
  for (const what of ['water', 'target', 'shelf']) {
    const name = `${what}.csv`;
    if (files[name] && !given[what].length && String(draft.files[name]) !== String(files[name]))
      add(what, name, files[name]);
  }
  Object.keys(given).forEach(slips);
  changed();
  if (kept.stage) blank('stage').value = kept.stage;
  await calculate();
  if (kept.sample !== undefined && samples.length > 1) blank('sample').value = kept.sample;
  changed();
  safe = standing();
}

function download(blob, name) {
  const link = element('a', '', {download: name});
  link.href = URL.createObjectURL(blob);
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
}

const nameOfClient = () => plain(value('for') || 'mixing sheet');
const prefix = 'saltwright: ';
const base64 = bytes => btoa(Array.from(bytes, b => String.fromCharCode(b)).join(''));

/* The browser may refuse a page from a disk any store. */
function offerKept() {
  const names = [];
  try {
    for (let i = 0; i < localStorage.length; i++)
      if (localStorage.key(i).startsWith(prefix)) names.push(localStorage.key(i).slice(prefix.length));
  } catch (e) { /* keep() says so */ }
  by('kept').replaceChildren(...(names.length ? names.sort().map(n => element('option', n, {value: n}))
    : [element('option', '(none)', {value: ''})]));
}

async function keep() {
  const name = by('name').value.trim() || value('for') || 'client';
  const bytes = new Uint8Array(await (await folder()).arrayBuffer());
  try {
    localStorage.setItem(prefix + name, base64(bytes));
  } catch (e) {
    throw new Error('this browser keeps nothing for this page: save it as a file');
  }
  by('keeping').textContent = `Kept in this browser as ${name}.`;
  safe = standing();
  offerKept();
  by('kept').value = name;
}
