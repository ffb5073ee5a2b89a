// One script for the report and for the bench: the data tell which it is.
import { bench } from './bench.js';
import { report } from './report.js';

const data = JSON.parse(document.getElementById('data').textContent);
(data.bench ? bench : report)(data);
