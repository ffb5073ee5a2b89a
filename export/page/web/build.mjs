// Bundles src/main.js with what it needs into ../bundle.js, which Go embeds, with the
// licence of what it contains at its end.
import { readFileSync } from 'node:fs';
import { build } from 'esbuild';

const licence = readFileSync('node_modules/three/LICENSE', 'utf8');

await build({
  entryPoints: ['src/main.js'],
  outfile: '../bundle.js',
  bundle: true,
  minify: true,
  format: 'iife',
  target: 'es2020',
  charset: 'utf8',
  legalComments: 'none',
  footer: { js: `/*! Contains three.js:\n${licence}*/` },
});
