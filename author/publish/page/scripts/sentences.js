// What is said in whole sentences stands in the document (sentences.json), not in the script; and
// the lists of a record and their keys, as in schema/job_record.v1.schema.json; ! has to be.

const [SENTENCES, KEYS] = JSON.parse(document.getElementById("sentences").textContent);

// A sentence by its name, with what goes into its gaps: {0} is the first.
function sentence(name, ...given) {
  return SENTENCES[name].replace(/\{(\d)\}/g, (gap, n) => given[n]);
}
