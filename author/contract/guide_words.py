"""What the field guide says in words; its tables are made by ``field_guide``."""

from __future__ import annotations

FILES = """\
# The procedure file, for other tools

A procedure is one file, `procedure.yaml`, in a folder of its own. This folder is the
contract: it holds no program, and all that is said here can be relied on.

| file | what it is |
| --- | --- |
| `procedure.v1.schema.json` | JSON Schema, draft 2020-12, of `procedure/1` |
| `job_record.v1.schema.json` | the same of `job_record/1`: one execution with its measured values |
| `review.v1.schema.json` | the same of `review/1`: the sign-offs beside a procedure |
| `library.v1.schema.json` | the same of `library/1`: the sheet of a shop library |
| `rules.yaml` | what a procedure is held against beyond its form |
| `units.yaml` | units, with exact factors to SI, and how they are written and spoken |
| `threads.yaml` | threads, strengths of screws, nut factors, with their sources |
| `fits.yaml` | tolerances and deviations of ISO 286, with their sources |
| `examples/valid` | procedures every validator has to accept; they break no rule |
| `examples/job_record/valid`, `examples/review/valid`, `examples/library/valid` | the same for \
these three |
| `examples/invalid/schema` | procedures every validator has to reject; the first line says why |
| `examples/job_record/invalid`, `examples/review/invalid`, `examples/library/invalid` | the same \
for these three |
| `examples/invalid/rules` | procedures of the right form that break a rule; the first line says \
which |

All examples come from an invented shop, the Alder Row tool room. Their numbers are demo data
but for those that name a published standard as their source.
"""

KINDS = """\
## Four kinds of file

```
wheel-bearings/
  procedure.yaml      procedure/1   the document
  review.yaml         review/1      who has signed which of its numbers; may be absent
  media/                            copies of its films; may be absent
```

**`procedure/1`** says how a job is done. It changes by revision: `id` stays, `revision` counts
up, `changes` says what is new. It holds no signature, so signing changes no byte of it.

**`review/1`** lies beside it as `review.yaml` and is about one revision. Each entry is what one
person said of one point: a spec, a torque, a critical point or a criterion. The last entry on
a point is the one that counts, and it counts only while its `content` is still the
fingerprint of that point: see [What is signed](#what-is-signed).

**`job_record/1`** is one execution: who, on which unit, what was read before and after, what
was decided by it, what was done otherwise. A page in a browser writes it as JSON, a person as
YAML; the keys are the same, and a reader takes both. It names the procedure, its revision and
in `content` the SHA-256 of the bytes of the `procedure.yaml` that was followed. It holds
everything the page knows of the job, so that another device goes on from it: where the job
stands, what was read, ticked, hung and signed by whom, which ways were taken. Where the work
went back, what was read, seen, signed and allowed before stays and is `superseded`; a part that
went in is in yet, unless a later step takes it out or another takes its place. Where it lies is
for the shop to say; nothing in it depends on its place or name.

**`library/1`** is `library.yaml` in the folder of a shop library: see
[The sheet of a library](#the-sheet-of-a-library).
"""

PROMISES = """\
## What is promised

- The first key is `schema`, such as `schema: procedure/1`. A file that says so keeps this form
  for good: a change that an old reader could not read gets another number and another schema
  beside this one. Nothing is taken for `procedure/1` that the schema does not list. A reader
  that meets a higher number has to say so and leave the file alone.
- The text is YAML 1.2 core schema in UTF-8: no tags, anchors, aliases, merge keys or second
  document; a key stands once. Nesting ends at 40, size at 32 MB, a block at 1,000 keys, a
  list at 100,000 entries, comments at 100,000. JSON is such text too.
- Canonical files read the same in YAML 1.1: text that an old reader would take for a truth
  value, a number, a date or a time is quoted.
- Keys are written in the order of the tables below; a reader takes them in any order. Keys
  equal to their default are not written.
- Reading a canonical file and writing it changes no byte. Comments on lines of their own
  are kept by the key they stand before; comments behind a value are not, and a program
  says so before it saves.
"""

VALUES = """\
## How values are written

| kind | form |
| --- | --- |
| id | lower-case words joined by hyphens, at most 48 characters: `axle-nut` |
| line | text of one line, at most 400 characters; no control character, line separator or \
mark that turns the direction of writing or cannot be seen; no space at either end |
| file name | a name without a folder |
| number | decimal digits in quotes, `"9.80"`: the zero states the resolution and is kept. No \
exponent, no sign but minus, no comma. A program may accept a plain `9.80` and has to quote it |
| amount | a number that is more than zero |
| mark | seconds on the clock a player shows, at most six decimals, in quotes: `"12.500000"`. \
It means the frame whose start is nearest; the end of the film counts as a start |
| fraction | a place in a picture, in quotes: `"0"` left or top, `"1"` right or bottom, at most \
six decimals |
| point | two fractions: across, down |
| extent | two fractions that are not `"0"`: width, height |
| duration | hours and minutes, `PT2H30M`, `PT2H` or `PT45M` |
| date | a day, `2026-03-31` |
| moment | a day and a time with its zone, `2026-03-31T14:05:00+01:00` |
| fingerprint | SHA-256, 64 hexadecimal digits in lower case |

A span `from`, `to` holds the frames from the one `from` means up to, not including, the one
`to` means.

A list that a reader has to have thought of is there always: with entries, or as the word
`none`. An empty list and an empty value (`null`) are refused everywhere. Inside a step, a
list that has no entries is absent.

Ids are unique in their list. Steps and sections share one space of ids, and so do all that
can be signed: specs, torques, critical points and criteria.

A second unit is never written: it is worked out from `units.yaml`, the lower limit rounded
up and the upper limit down, with the fewest decimals that keep nine tenths of the tolerance.
Published files carry `si` beside the limits: derived, rounded to twelve decimals, not signed.

The schema cannot say everything: a space at the end of a line, a thirtieth of February, an id
that is used twice or names nothing, limits that are crossed. Those are in the table of rules,
or refused on reading.
"""

WHOLE = """\
## A whole procedure

This is `examples/valid/{file}`, the shortest one there:
"""

MEANING = """\
## What the blocks mean together

### The ledger

Each `ledger` entry of a step moves pieces of a part. At the start every part of the list is on
the machine, as many as its `quantity` says, but for what a prerequisite hands over.

| act | before | after |
| --- | --- | --- |
| `removes` | on | in hand |
| `refits` | in hand | on, the same piece |
| `discards` | in hand | scrapped |
| `destroys` | on | scrapped |
| `replaces` | scrapped, or in hand | on, a new piece; an old one in hand is left over and owes \
nothing |

After the last step nothing may be left in hand or scrapped without a new one, but for what a
close-out discharges. Every way through the decisions is counted by itself; one that ends in a
stop or in another procedure may leave parts off.

- **`places`** of a part names where each of its pieces sits, one name for each, where like
  pieces must not be mixed up. A ledger entry with `places` moves just those.
- **`contains`** makes a part an assembly. What sits in it comes off and goes on with it, is
  scrapped with it, and may be moved out of it and into it by entries of its own. A new
  assembly `supplied: complete` brings its contents; `bare`, or without the key, it brings none.
- **`stacks`** say what sits on what, the innermost first: what lies further out comes off
  before and goes on after. A part that is named twice has a piece at both places.
- **`hands_over`** of a prerequisite lists pieces that another procedure has left off before the
  first step: `kept` ones lie in hand, `scrapped` ones are wanted new.
- **`discharges`** of a close-out lists pieces that this procedure leaves off on purpose and
  another one fits. Both name that procedure at a revision.

### Ways on

A step leads to the next one, or to the step its `goes_to` names. A `decision` leads only where
its `ways` say: to a `step`, to the first step of a `section`, to another `procedure`, or to a
`stop`. A reaction of a spec (`below`, `above`, `undecided`) with a `step` leads there; without
one, `do: repeat` means this step again, `do: recover` is done on the spot, and `do: stop` ends
the job. `at_most` is how often a way or a reaction may be taken in one job; where it is used
up, the job stops. Every round that leads back has one at some place.

### Limits and who decides

A spec has a lower limit, an upper one, or both; `nominal` is aimed at and decides nothing. With
`reference: true` no number decides anything. A value is compared as it was read, never
rounded first. With several `positions` each reading is judged by itself, and a spec with
`spread_of` limits the largest less the smallest of them.

| `decision_rule` | accept | cannot tell | reject |
| --- | --- | --- | --- |
| `simple_acceptance` | lower ≤ value ≤ upper | | all else |
| `guard_band` | lower + U ≤ value ≤ upper − U | up to U away from a limit, either side | \
outside the limits by more than U |

U is the `uncertainty` of the spec's `instrument` (k = 2), converted to the unit of the spec.
What cannot be told is answered by `undecided`. (ISO 14253-1; ILAC-G8:09/2019.)

### Chains

What is left over is the sum of the links that `adds` less the sum of those that `subtracts`. A
link takes its limits from a `spec`, converted to the `unit` of the chain, or has its own
`lower` and `upper`. `worst_case` puts every link at its worst limit; `root_sum_square` adds the
half tolerances as squares about the middles. What comes out has to lie within the limits of
the spec that `closes` names.

### Torques

The numbers are those at the fastener. `extension` says which adapter the wrench is used with:
the setting is torque × `wrench` ÷ (`wrench` + `adds` × cos `angle`). `nut_factor` is K of
torque = K × diameter × preload for the condition in `threads`. `order` names every one of the
`fasteners` once; each of the `passes` goes round in that order to its share of the torque.

### Remarks that stand

A concession lets the remark of one rule at one place stand, with a reason and a role. It takes
nothing away from the file: a program that checks it tells the remark as conceded.

### What is signed

`content` of a sign-off is the fingerprint of a point with all it rests on. To work it out:

1. Take the block of the point as it stands in the file, without `si`: numbers as text with
   their digits, units by the symbol in the table of units.
2. Put in each key that is absent and has a default in the schema, at every depth.
3. Do the same with the source its `source` names, and with the tool its `instrument` names;
   where there is none, take `null`.
4. Write the list of the three as JSON: keys sorted, no space between, nothing escaped that JSON
   does not ask for. Its UTF-8 bytes have the SHA-256 that is wanted.

For the criterion `{point}` of the procedure above that text is

```json
{text}
```

and its SHA-256 `{content}`.

### The sheet of a library

`library.yaml` names the shop's library and its people; below `procedures/` beside it lies a
folder for each procedure, called by its id. `key` is shown for people to read: whose signatures
count is said by the acts in `history/` alone, and a sheet that says otherwise is told as changed.

### Signatures in a library

An act is a JSON file, canonical by RFC 8785, ended by one line feed; a reader accepts no other
bytes: `{{"signature": <128 hex digits>, "signed": {{…}}}}`. The signature is Ed25519 (RFC 8032)
by the key that `signed.key` names, over the bytes `reelwright `, the value of `signed.form`, a
line feed, and the canonical JSON of `signed`.

`procedure-act/1`, in `procedures/<id>/signatures/<number, four digits>-<purpose>.json`:

| key | meaning |
| --- | --- |
| `form` | `procedure-act/1` |
| `number` | counts from 1 |
| `before` | SHA-256 of the file before it; of the first, SHA-256 of the library's founding file |
| `library` | SHA-256 of the founding file |
| `keys` | SHA-256 of the newest file in `history/` when it was signed |
| `time` | `2026-09-14T08:08:00Z`, never before that of the act before |
| `purpose` | `authored`, `reviewed`, `published`, or the new state |
| `procedure`, `revision`, `state` | what it is about; the state it has with this act |
| `name`, `role`, `key` | who signed, as what; the public key, 64 hex digits |
| `files` | SHA-256 of the stored bytes by path below the procedure's folder: \
`procedure.yaml`; `review.yaml` in acts reviewed, approved, superseded, withdrawn; every still \
and clip that a `publication.json` in a folder beside them lists; in act published also that \
`publication.json` |
| `reason` | one line, may be absent |
| `stays` | of a draft that is withdrawn and put aside: the revision that stays in force |

`library-act/1`, in `history/`: `number`, `before` (of the first 64 zeros), `time`, `name`,
`role` (`keeper`), `key`, `reason` likewise; `purpose` is `founded`, `admitted` or `revoked`;
`holder` has `name`, `roles` and `key` of whom it is about; `seed` (first act) 64 chance digits;
`since` (revoked) the first day that does not count; `known` (revoked) the number of the last
act of that key by procedure.

Heads kept elsewhere, `library-heads/1`: `library`, `time`, `history` and by procedure `number`
and `sha256` of the newest act.

Numbers are whole; everything else is text. Bytes are signed as stored, so a later version of
the schema breaks no signature.
"""
