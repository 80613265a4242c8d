// Numbers as they were typed: their digits are kept and no value is ever rounded.

// What a record takes, as in author/procedure/quantities.py.
const NUMBER = /^-?(0|[1-9][0-9]{0,11})(\.[0-9]{1,12})?$/;

// -> {value}, a decimal text such as "9.80"; {choices: [a, b]} where a comma could mean two
// things; or {problem}, in plain words.
function readNumber(text) {
  const typed = String(text).trim();
  const number = typed
    .replace(/^[\u2212\u2013]/, "-")
    .replace(/^\+(?=[0-9.,])/, "")
    .replace(/^(-?)(?=[.,][0-9])/, (sign) => `${sign}0`);
  const pointed = number.replace(",", ".");
  // Nobody groups a lone 0: only 1 to 3 other digits before three make a thousand.
  if (/^-?[1-9][0-9]{0,2},[0-9]{3}$/.test(number)) {
    return { choices: [number.replace(",", ""), pointed] };
  }
  if (NUMBER.test(pointed)) return { value: pointed };
  return { problem: numberProblem(typed, pointed) };
}

// Hours as they were typed -> a decimal text, or "": a number, with or without the letter h; or hours
// and minutes, as "1:20", "1 h 20" and "40 min", told to the hundredth of an hour.
function readHours(text) {
  const typed = String(text).trim();
  const { value } = readNumber(typed.replace(/\s*(h|hrs?|hours?)\.?$/i, ""));
  if (value) return value;
  const [, hours = 0, minutes, alone] = /^(\d{1,4})\s*(?::(?=\d\d)|h|hrs?|hours?)\s*([0-5]?\d)\s*(?:m|mins?|minutes?)?\.?$|^(\d{1,4})\s*(?:m|mins?|minutes?)\.?$/i.exec(typed) || [];
  const total = hours * 60 + Number(minutes || alone);
  return total ? unscaled(BigInt(Math.round(total * 5 / 3)), 2).replace(/\.?0+$/, "") : "";
}

function numberProblem(typed, number) {
  if (typed === "") return sentence("typeIt");
  const plain = /^-?[0-9]+\.?[0-9]*$/.test(number);
  const form = plain ? sentence("digits")
    : sentence("alone");
  return `“${[...typed].slice(0, 40).join("")}”: write ${form}.`;
}

function placesOf(text) {
  return (text.split(".")[1] || "").length;
}

// A decimal text as a whole number of its last places, and back.
function scaled(text, places) {
  const [whole, part = ""] = text.replace("-", "").split(".");
  const size = BigInt(whole + part.padEnd(places, "0"));
  return text.startsWith("-") ? -size : size;
}

function unscaled(size, places) {
  const digits = String(size < 0n ? -size : size).padStart(places + 1, "0");
  const point = digits.length - places;
  const text = places ? `${digits.slice(0, point)}.${digits.slice(point)}` : digits;
  return size < 0n ? `-${text}` : text;
}

// a - b, exact, with as many places as the finer of the two.
function subtractNumbers(a, b) {
  const places = Math.max(placesOf(a), placesOf(b));
  return unscaled(scaled(a, places) - scaled(b, places), places);
}

// -1, 0 or 1, exact.
function compareNumbers(a, b) {
  const less = subtractNumbers(a, b);
  return less.startsWith("-") ? -1 : Number(/[1-9]/.test(less));
}

// How a reading differs from what a scale of such steps can show: "finer", "coarser" or null, as
// author/checks/reading_steps.py has it.
function fineness(value, step) {
  const places = Math.max(placesOf(value), placesOf(step));
  if (places > placesOf(step) || scaled(value, places) % scaled(step, places)) return "finer";
  return placesOf(value) < placesOf(step.replace(/(\.\d*?)0+$/, "$1")) ? "coarser" : null;
}

// The largest less the smallest.
function spreadOf(values) {
  const sorted = [...values].sort(compareNumbers);
  return subtractNumbers(sorted.at(-1), sorted[0]);
}

// A spread told in another unit: times a whole number, by another. What does not come out in
// the 12 places a record takes is rounded up, so that no spread looks smaller than it is.
function scaleNumber(text, [times, by]) {
  if (times === by) return text;
  const top = scaled(text, 12) * BigInt(times);
  const down = top / BigInt(by);
  return unscaled(down * BigInt(by) === top ? down : down + 1n, 12).replace(/\.?0+$/, "");
}
