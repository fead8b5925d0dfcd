/** What the server says of routines, and what becomes of it in the page. */
import type { FromServer } from "../../schemas/wire.ts";
import { listen } from "./connection.ts";
import { draftAnew, drafting, takeDrafted, takeNotDrafted } from "./draft.ts";
import { follow, takeFollowed } from "./following.ts";
import { openedFrom, withChanged } from "./opened.ts";
import { folder, gone, openRoutine, openSomething } from "./opening.ts";
import { done, said } from "./said.ts";
import { saved } from "./saved.ts";
import { lastRoutine } from "./settings.ts";
import { drafted, opened, past, shut } from "./shown.ts";
import { outbox, pump, takeAnswer, waitUnderName } from "./waiting.ts";

listen((message: FromServer) => {
  if (message.type !== "sections") takeFollowed();
  const now = opened.value;
  switch (message.type) {
    case "welcome":
      folder.value = { path: message.folder, routines: message.routines, notices: message.notices };
      openSomething(message);
      break;
    case "list":
      if (folder.value !== null) folder.value = { ...folder.value, routines: message.routines };
      break;
    case "routine":
      if (message.name !== lastRoutine.value) break;
      past.value = null;
      saved.value = message.saved;
      opened.value = openedFrom(message);
      drafted.value = opened.value;
      pump();
      break;
    case "sections":
      if (message.name === now?.name) follow(message);
      break;
    case "changed": {
      if (now === null || message.name !== now.name) break;
      const next = withChanged(now, message);
      if (next === null) {
        if (message.rev > now.rev || message.epoch !== now.epoch) void openRoutine(now.name);
        break;
      }
      opened.value = next;
      draftAnew();
      break;
    }
    case "drafted":
      takeDrafted(message);
      break;
    case "not-drafted":
      takeNotDrafted(message);
      break;
    case "ack":
    case "stale":
    case "refused": {
      const { aside } = outbox.peek();
      takeAnswer(message);
      if (message.type === "refused") {
        // What is set aside is told under the head: over what is worked on only where that is out of sight.
        if (outbox.peek().aside === aside || scrollY > 0) said.value = message.message;
        if (!drafting()) drafted.value = now;
      } else if (message.type === "ack") done.value = message.words;
      pump();
      break;
    }
    case "saved":
      if (message.name === now?.name) saved.value = message.saved;
      break;
    case "renamed":
      if (message.to !== null) waitUnderName(message.name, message.to);
      if (now === null || message.name !== now.name) break;
      shut();
      if (message.to === null) gone.value = message.name;
      else void openRoutine(message.to);
      break;
    default:
      break;
  }
});
