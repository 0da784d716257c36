-- What a studio keeps: one row a thing, its body as JSON, and beside it what lists are made by.
CREATE TABLE record (
  kind     TEXT NOT NULL,
  id       TEXT NOT NULL,
  version  BIGINT NOT NULL,
  archived BIGINT,
  owner    TEXT NOT NULL,
  state    TEXT NOT NULL,
  link     TEXT NOT NULL,
  sort     TEXT NOT NULL,
  words    TEXT NOT NULL,
  body     TEXT NOT NULL,
  changed  BIGINT NOT NULL,
  PRIMARY KEY (kind, id)
);
CREATE INDEX record_by_state ON record (kind, state, sort, id);
CREATE INDEX record_by_owner ON record (kind, owner, sort, id);
CREATE INDEX record_by_link ON record (kind, link, sort, id);
CREATE INDEX record_by_sort ON record (kind, sort, id);

-- Who did what: a turn holds every change that was made in one go.
CREATE TABLE turn (
  id        INTEGER PRIMARY KEY AUTOINCREMENT,
  at        BIGINT NOT NULL,
  who       TEXT NOT NULL,
  verb      TEXT NOT NULL,
  undoes    BIGINT,
  undone_by BIGINT
);
CREATE TABLE change (
  turn            BIGINT NOT NULL REFERENCES turn (id),
  seq             BIGINT NOT NULL,
  kind            TEXT NOT NULL,
  id              TEXT NOT NULL,
  version         BIGINT NOT NULL,
  before          TEXT,
  before_archived BIGINT,
  after           TEXT NOT NULL,
  after_archived  BIGINT,
  PRIMARY KEY (turn, seq)
);
CREATE INDEX change_of_record ON change (kind, id, version);

-- Long texts that no list needs, such as plans.
CREATE TABLE paper (
  kind    TEXT NOT NULL,
  id      TEXT NOT NULL,
  body    TEXT NOT NULL,
  changed BIGINT NOT NULL,
  PRIMARY KEY (kind, id)
);

CREATE TABLE counter (
  name  TEXT PRIMARY KEY,
  value BIGINT NOT NULL
);
