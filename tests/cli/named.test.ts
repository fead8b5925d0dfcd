import { expect, it } from "vitest";
import { theNamed } from "../../server/cli/named.ts";

const PIERS = [
  { id: "pier", name: "Long pier" },
  { id: "pier-2", name: "long pier" },
  { id: "long-pier", name: "Pier" },
  { id: "slip" },
];

it("a section is meant by its id before a name, or by a name that one alone has, and else what there is is said", () => {
  expect(theNamed("section", PIERS, "pier").id).toBe("pier");
  expect(theNamed("section", PIERS, "PIER").id).toBe("long-pier");
  expect(() => theNamed("section", PIERS, "Long Pier")).toThrow(
    'More than one section is called "Long Pier": say which, pier (Long pier), pier-2 (long pier).',
  );
  expect(() => theNamed("section", PIERS.slice(2), "quay")).toThrow(
    'There is no section "quay"; there are long-pier (Pier), slip.',
  );
  expect(() => theNamed("pattern", [], undefined)).toThrow(
    "--pattern takes the id or the name of a pattern; there are none.",
  );
});
