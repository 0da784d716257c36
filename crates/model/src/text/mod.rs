//! A studio as a folder of plain text: names of files, and how each is read.
