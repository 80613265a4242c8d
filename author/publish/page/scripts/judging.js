// Whether a reading conforms: the rules of author/procedure/conformity.py, by the limits that
// facts.py has worked out from them.

function findStep(facts, step) {
  return facts.steps.find((one) => one.id === step);
}

function findSpec(facts, spec) {
  return facts.steps.flatMap((step) => step.specs).find((one) => one.id === spec);
}

function stepWithPoint(facts, point) {
  return facts.steps.find((step) => step.points.includes(point));
}

// -> {verdict: "accept" | "reject" | "cannot_tell" | "not_judged",
//     side: "below" | "above" | null, reaction: what the spec says to do, or null}
// The value is compared as it was read. One exactly at a limit of acceptance is accepted, one
// exactly at a limit of rejection is not rejected.
function judgeReading({ judged, accept, reject, reactions }, value) {
  if (!judged) return { verdict: "not_judged", side: null, reaction: null };
  const beyond = (limit, sign) => limit !== null && compareNumbers(value, limit) === sign;
  // A draft may leave nothing to decide by.
  const ends = accept || { lower: null, upper: null };
  const side = beyond(ends.lower, -1) ? "below" : beyond(ends.upper, 1) ? "above" : null;
  if (accept && !side) return { verdict: "accept", side, reaction: null };
  if (side === "below" ? beyond(reject.lower, -1) : side && beyond(reject.upper, 1)) {
    return { verdict: "reject", side, reaction: reactions[side] };
  }
  return { verdict: "cannot_tell", side, reaction: reactions.undecided };
}
