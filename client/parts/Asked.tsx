/** The question that is asked, with its answers as buttons. */
import { useEffect, useRef } from "preact/hooks";
import { useActions } from "../state/actions.ts";
import { type Choice, type Question, question } from "../state/question.ts";

/** Over the foot of the page, wherever one has scrolled to; takes the focus, as nothing else makes sense before. */
export function Asked({ asked }: { asked: Question }) {
  const first = useRef<HTMLButtonElement>(null);
  useEffect(() => {
    const before = document.activeElement;
    first.current?.focus({ preventScroll: true });
    return () => {
      if (before instanceof HTMLElement && before.isConnected) before.focus({ preventScroll: true });
    };
  }, [asked]);
  const answer = (choice: Choice | undefined): void => {
    question.value = null;
    choice?.act();
  };
  useActions(
    "Asked",
    asked.choices.map((choice) => ({
      id: `answer-${choice.label}`,
      name: choice.label,
      keys: [],
      run: () => answer(choice),
    })),
    [asked],
  );
  return (
    <div
      class="offer asked"
      role="alertdialog"
      aria-label={asked.text}
      onKeyDown={(event) => {
        if (event.key !== "Escape") return;
        event.stopPropagation();
        answer(asked.choices[asked.leave]);
      }}
    >
      <p>{asked.text}</p>
      {asked.choices.map((choice, index) => (
        <button
          key={choice.label}
          ref={index === 0 ? first : null}
          type="button"
          onClick={() => answer(choice)}
        >
          {choice.label}
        </button>
      ))}
    </div>
  );
}
