// On paper: the record first, then the whole procedure in its order.

// What is said of an entry of the record instead of its id.
const PAPER = {
  step: (id) => `Step ${findStep(FACTS, id).number}`,
  spec: (id) => findSpec(FACTS, id).characteristic,
  point: (id) => all("[data-point]").find((one) => one.dataset.point === id).querySelector("legend").textContent,
  tool: (id) => FACTS.tools[id].name,
  part: (id) => FACTS.parts[id].name,
  role: roleWords,
  verdict: (word) => WORDS[word],
  instrument: (index, { instruments }) => instruments[index].number,
  procedure: ({ id, revision }) => `${id}, revision ${revision}`,
};

function paperCell(name, value, record) {
  if (value === undefined) return "–";
  if (value === true || value === false) return value ? "yes" : "no";
  return PAPER[name] ? PAPER[name](value, record) : String(value);
}

function paperTable(name, rows, record) {
  const heads = [...new Set(rows.flatMap((row) => Object.keys(row)))].filter((head) => head !== "rule");
  const plain = (words) => words.replaceAll("_", " ");
  const line = (kind, cell) => make("tr", {}, heads.map((head) => make(kind, {}, cell(head))));
  return [make("h3", {}, plain(name)),
    make("table", {}, line("th", plain), rows.map((row) => line("td", (head) => paperCell(head, row[head], record))))];
}

function layPaper() {
  for (const image of all("img[loading]")) image.loading = "eager";
  for (const screen of all(".step")) paintStep(screen, stepOf(screen));
  byId("paper").hidden = !job;
  if (!job) return;
  const record = recordOf(job, FACTS);
  const entries = Object.entries(record).filter(([name]) => name !== "schema");
  const single = entries.filter(([, value]) => !Array.isArray(value));
  fill(byId("paper-body"),
    make("dl", { class: "facts" }, single.map(([name, value]) => make("div", {},
      make("dt", {}, name.replaceAll("_", " ")), make("dd", {}, paperCell(name, value, record))))),
    entries.filter(([, value]) => Array.isArray(value)).map(([name, value]) => paperTable(name, value, record)));
}

async function printAll() {
  layPaper();
  await Promise.all(all("img").map((image) => image.decode().catch(() => {})));
  print();
}
