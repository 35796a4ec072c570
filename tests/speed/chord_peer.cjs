// tests/speed/chord_peer.cjs
// How long @tonaljs/chord-detect takes to name 12 notes of a chord, in ns, for the ratio against
// speed_chord's chord/text. STRUMWRIGHT_NODE_MODULES names the folder where it is installed.
const fs = require('fs');
const path = require('path');

const modules = path.resolve(process.env.STRUMWRIGHT_NODE_MODULES || '.build/node/node_modules');
const scope = path.join(modules, '@tonaljs');
if (!fs.existsSync(path.join(scope, 'chord-detect'))) {
  console.log(`skipped: no @tonaljs/chord-detect in ${modules}`);
  process.exit(0);
}
// The package names dist/index.js as its entry, but carries dist/index.cjs.
for (const name of fs.readdirSync(scope)) {
  const entry = path.join(scope, name, 'dist', 'index.js');
  if (!fs.existsSync(entry)) fs.symlinkSync('index.cjs', entry);
}
const { detect } = require(path.join(scope, 'chord-detect'));

const names = ['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
const kinds = [[0, 4, 7], [0, 3, 7], [0, 4, 7, 10], [0, 3, 7, 10], [0, 4, 7, 11], [0, 5, 7]];
const strums = [];
for (let root = 0; root < 12; ++root) {
  for (const tones of kinds) {
    strums.push([...Array(12).keys()].map(k => names[(root + tones[k % tones.length]) % 12]));
  }
}
for (let round = 0; round < 50; ++round) strums.forEach(detect);
const times = [];
for (let round = 0; round < 9; ++round) {
  const start = process.hrtime.bigint();
  for (let k = 0; k < 50; ++k) strums.forEach(notes => detect(notes));
  times.push(Number(process.hrtime.bigint() - start) / (50 * strums.length));
}
times.sort((a, b) => a - b);
console.log(`chord/peer ${Math.round(times[4])} ns`);
