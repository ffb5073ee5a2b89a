// Package bench lets boxes and a frame be moved by hand in a browser while the judge watches. A
// Desk is what lies on it: a layout in a frame, what is judged of it, and what can be undone. A
// Server shows it to pages on this computer alone, and asks what to do about files that were
// changed elsewhere. It opens no files and knows no time: whoever makes it gives the search and
// the Files.
package bench
