-- Lists and searches are answered from these alone; a body is read only for what is shown.
DROP INDEX record_by_sort;
CREATE INDEX record_by_sort ON record (kind, sort, id, archived, words);
CREATE INDEX record_count ON record (kind, archived, state);
