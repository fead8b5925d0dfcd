// A process that edits until it is killed: node stream.mjs FOLDER. Prints the revision of each acknowledged edit.
import { writeSync } from "node:fs";
import { openFolder } from "../../dist/server/store/folder.js";

const folder = await openFolder(process.argv[2], { journalSize: 2_000 });
const stored = await folder.open("Night Ferry");
let text = [stored.start.text, ...stored.after.map(({ ops }) => ops)].join(",");
let { rev } = stored;
let saved = rev;

const edit = async () => {
  const mine = ++rev;
  const ops = `e${mine}`;
  text += `,${ops}`;
  await stored.append({ rev: mine, opId: ops, at: Date.now(), ops });
  saved = mine;
  writeSync(1, `${mine}\n`);
};
writeSync(1, `${rev}\n`);
for (let turn = 1; ; turn++) {
  // Several at once, so that they go out in groups.
  await Promise.all([edit(), edit(), edit()]);
  if (turn % 7 === 0 && saved === rev) await stored.snapshot({ text, rev });
}
