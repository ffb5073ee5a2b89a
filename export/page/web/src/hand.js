// Where the bench begins.
import { bench } from './bench.js';

bench(JSON.parse(document.getElementById('data').textContent));
