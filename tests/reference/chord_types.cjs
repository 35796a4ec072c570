// tests/reference/chord_types.cjs
// For each alias on stdin a line "alias chroma": the twelve pitch classes of the chord type as
// @tonaljs/chord-type has them, '-' where it has none. The first argument is the node_modules.
const fs = require('fs');
const path = require('path');

const scope = path.resolve(process.argv[2], '@tonaljs');
// The packages name dist/index.js as their entry, but carry dist/index.cjs.
for (const name of fs.readdirSync(scope)) {
  const entry = path.join(scope, name, 'dist', 'index.js');
  if (!fs.existsSync(entry)) fs.symlinkSync('index.cjs', entry);
}
const { get } = require(path.join(scope, 'chord-type'));
for (const alias of fs.readFileSync(0, 'utf8').split('\n').filter(line => line)) {
  const type = get(alias);
  console.log(alias, type.empty ? '-' : type.chroma);
}
