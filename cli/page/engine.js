/* SPDX-License-Identifier: GPL-3.0-or-later */
/* In the worker, after emscripten's `saltwright`: the command, as it is, with
 * arguments and files, in an instance of its own each run. */
let compiled;

function bytesOf(base64) {
  const text = atob(base64);
  const bytes = new Uint8Array(text.length);
  for (let i = 0; i < text.length; i++) bytes[i] = text.charCodeAt(i);
  return bytes;
}

/* What a stream of the command was given, a byte at a time. */
function stream() {
  const bytes = [];
  return {
    put: byte => { if (byte !== null) bytes.push(byte); },
    text: () => new TextDecoder().decode(Uint8Array.from(bytes)),
  };
}

async function run({argv, files, want}) {
  const out = stream(), err = stream(), made = {};
  const command = await saltwright({
    stdin: () => null, stdout: out.put, stderr: err.put,
    instantiateWasm(imports, done) {
      compiled.then(code => WebAssembly.instantiate(code, imports)).then(done);
      return {};
    },
  });
  for (const name in files) command.FS.writeFile(name, files[name]);
  const code = command.callMain(argv);
  for (const name of want) {
    try {
      command.FS.chmod(name, 0o600); /* it was made under the umask 0777 */
      made[name] = command.FS.readFile(name, {encoding: 'utf8'});
    } catch (e) { /* not written: the exit status says why */ }
  }
  return {code, out: out.text(), err: err.text(), made};
}

onmessage = async ({data}) => {
  if (data.wasm) {
    compiled = WebAssembly.compile(bytesOf(data.wasm));
    return;
  }
  try {
    postMessage(await run(data));
  } catch (e) {
    postMessage({code: 4, out: '', err: `saltwright: error: ${e}\n`, made: {}});
  }
};
