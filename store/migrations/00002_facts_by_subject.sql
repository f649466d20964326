-- +goose Up
-- What a fact speaks of beside its release: each kind has an index that holds its own facts alone.
CREATE INDEX facts_rolls ON facts (body ->> '$.roll') WHERE kind IN ('roll found', 'roll received', 'roll mounted', 'roll off');
CREATE INDEX facts_stops ON facts (machine) WHERE kind IN ('machine stopped', 'machine running');
CREATE INDEX facts_moves ON facts (body ->> '$.stack') WHERE kind = 'stack moved' AND release = '';
CREATE INDEX facts_runs ON facts (plan, run) WHERE run > 0;

-- +goose Down
DROP INDEX facts_runs;
DROP INDEX facts_moves;
DROP INDEX facts_stops;
DROP INDEX facts_rolls;
