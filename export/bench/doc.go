// Package bench lets boxes be moved by hand in a browser while the judge watches. A Desk is
// what lies on it: a layout, what is judged of it, and what can be undone. A Server shows it to
// pages on this computer alone. It opens no files and knows no time: whoever makes it gives the
// search and what saves.
package bench
