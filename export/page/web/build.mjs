// Bundles src/main.js with what it needs into ../bundle.js, which Go embeds, with the
// licence of what it contains at its end.
import { createHash } from 'node:crypto';
import { readFileSync, readdirSync } from 'node:fs';
import { build } from 'esbuild';

const licence = readFileSync('node_modules/three/LICENSE', 'utf8');

// A test in Go compares this with the sources, so that a stale bundle is seen.
const hash = createHash('sha256');
for (const name of readdirSync('src').sort()) hash.update(readFileSync(`src/${name}`));
hash.update(readFileSync('package-lock.json'));

await build({
  entryPoints: ['src/main.js'],
  outfile: '../bundle.js',
  bundle: true,
  minify: true,
  format: 'iife',
  target: 'es2020',
  charset: 'utf8',
  legalComments: 'none',
  footer: { js: `/*! Contains three.js:\n${licence}Made from sources ${hash.digest('hex')} */` },
});
