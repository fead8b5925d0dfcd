/**
 * Draws its children only while they are in or near the window, and keeps their room meanwhile. Everything is
 * drawn for printing.
 */
import { type Signal, signal } from "@preact/signals";
import type { ComponentChildren } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";

const printing = signal(false);
if (typeof addEventListener === "function") {
  addEventListener("beforeprint", () => {
    printing.value = true;
  });
  addEventListener("afterprint", () => {
    printing.value = false;
  });
}

const signals = new WeakMap<Element, (near: boolean) => void>();
let observer: IntersectionObserver | null = null;
function watch(element: Element, tell: (near: boolean) => void): () => void {
  observer ??= new IntersectionObserver(
    (entries) => {
      // What holds the focus stays: nobody loses their place by scrolling.
      for (const { target, isIntersecting } of entries)
        if (isIntersecting || !target.contains(document.activeElement)) signals.get(target)?.(isIntersecting);
    },
    { rootMargin: "700px 0px" },
  );
  const watching = observer;
  signals.set(element, tell);
  watching.observe(element);
  return () => watching.unobserve(element);
}

export const isPrinting: Signal<boolean> = printing;

/**
 * @param height of the children, pixels: they must be exactly as high, so that nothing moves
 * @param atOnce they are in sight as the page begins, and are drawn before that is looked into
 */
export function Near(props: { height: number; atOnce?: boolean; children: () => ComponentChildren }) {
  const ref = useRef<HTMLDivElement>(null);
  const [near, setNear] = useState(props.atOnce ?? false);
  useEffect(() => (ref.current === null ? undefined : watch(ref.current, setNear)), []);
  return (
    // On paper a page may end between two children, and then they are higher together than on the screen.
    <div ref={ref} style={printing.value ? {} : { height: `${props.height}px` }}>
      {near || printing.value ? props.children() : null}
    </div>
  );
}

/** A section of the page whose height is known only when it is drawn: until then it takes what is guessed. */
export function NearSection(props: {
  id: string;
  class: string;
  label: string;
  guess: number;
  atOnce?: boolean;
  children: () => ComponentChildren;
}) {
  const ref = useRef<HTMLElement>(null);
  const height = useRef(0);
  const [near, setNear] = useState(props.atOnce ?? false);
  useEffect(() => {
    const element = ref.current;
    if (element === null) return;
    return watch(element, (is) => {
      if (!is) height.current = element.offsetHeight;
      setNear(is);
    });
  }, []);
  const drawn = near || printing.value;
  return (
    <section
      ref={ref}
      id={props.id}
      class={props.class}
      aria-label={props.label}
      style={drawn ? {} : { height: `${height.current || props.guess}px` }}
    >
      {drawn ? props.children() : null}
    </section>
  );
}
