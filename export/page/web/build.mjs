// Bundles src/main.js with what it needs into ../bundle.js, the script of the report, and
// src/hand.js into ../../bench/bundle.js, that of the bench. Go embeds both, each with the
// licence of what it contains at its end.
import { createHash } from 'node:crypto';
import { readFileSync, readdirSync } from 'node:fs';
import { build } from 'esbuild';

const licence = readFileSync('node_modules/three/LICENSE', 'utf8');

// A test in Go compares this with the sources, so that a stale bundle is seen.
const hash = createHash('sha256');
for (const name of readdirSync('src').sort()) hash.update(readFileSync(`src/${name}`));
hash.update(readFileSync('package-lock.json'));

const made = hash.digest('hex');
const bundle = (from, to) => build({
  entryPoints: [from],
  outfile: to,
  bundle: true,
  minify: true,
  format: 'iife',
  target: 'es2020',
  charset: 'utf8',
  legalComments: 'none',
  footer: { js: `/*! Contains three.js:\n${licence}Made from sources ${made} */` },
});
await bundle('src/main.js', '../bundle.js');
await bundle('src/hand.js', '../../bench/bundle.js');
