-- What instruments told while a kiln fired: many rows, never changed, so not records. A moment that comes twice is kept
-- once, so that a source may tell again what it is not sure to have told.
CREATE TABLE reading (
  firing TEXT NOT NULL,
  at     BIGINT NOT NULL,
  body   TEXT NOT NULL,
  PRIMARY KEY (firing, at)
) WITHOUT ROWID;
