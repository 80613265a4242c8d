// Holds every schema and example against a validator that is not ours: ajv in its strict
// mode, with a reader of YAML 1.2. Run by tests/other_validators.sh.
//
// usage: node other_validators.mjs SCHEMA_FOLDER
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import Ajv2020 from "ajv/dist/2020.js";
import { parseDocument } from "yaml";

const folder = process.argv[2];
let faults = 0;

function fault(text) {
  faults += 1;
  console.log(`  DIFFERS ${text}`);
}

function examples(...parts) {
  const place = join(folder, "examples", ...parts);
  if (!existsSync(place)) return [];
  return readdirSync(place)
    .filter((name) => name.endsWith(".yaml"))
    .sort()
    .map((name) => join(place, name));
}

function read(file) {
  const document = parseDocument(readFileSync(file, "utf8"), {
    version: "1.2",
    schema: "core",
    strict: true,
    uniqueKeys: true,
  });
  for (const error of [...document.errors, ...document.warnings]) fault(`${file}: ${error}`);
  return document.toJS({ maxAliasCount: 0 });
}

// Strict: an unknown word, a type that does not fit, an open tuple or a required key that
// is nowhere described is an error of the schema. Each counts, so all are on.
function compiled(file) {
  const ajv = new Ajv2020.default({ strict: true, allErrors: true, validateSchema: true });
  return ajv.compile(JSON.parse(readFileSync(file, "utf8")));
}

function judge(name) {
  const kind = name.split(".")[0];
  // The procedure is the oldest kind of file: its examples lie in no folder of their own.
  const base = kind === "procedure" ? [] : [kind];
  const inner = existsSync(join(folder, "examples", ...base, "invalid", "schema"));
  const good = [...examples(...base, "valid"), ...examples(...base, "invalid", "rules")];
  const bad = examples(...base, "invalid", ...(inner ? ["schema"] : []));
  const validate = compiled(join(folder, name));
  for (const file of good) {
    if (validate(read(file))) continue;
    for (const error of validate.errors) fault(`${file}: ${error.instancePath} ${error.message}`);
  }
  for (const file of bad) {
    if (validate(read(file))) fault(`${file}: accepted`);
  }
  if (good.length === 0 || bad.length === 0) fault(`${name}: no examples of both sorts`);
  console.log(`${name}: ${good.length} to accept, ${bad.length} to reject`);
}

const schemas = readdirSync(folder).filter((name) => name.endsWith(".schema.json")).sort();
if (schemas.length === 0) fault(`${folder}: no schema`);
for (const name of schemas) judge(name);
console.log(faults === 0 ? "ajv agrees" : `${faults} disagreements`);
process.exit(faults === 0 ? 0 : 1);
