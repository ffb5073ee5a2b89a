import { report } from './report.js';

report(JSON.parse(document.getElementById('data').textContent));
