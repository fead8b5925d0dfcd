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
      for (const entry of entries) signals.get(entry.target)?.(entry.isIntersecting);
    },
    { rootMargin: "700px 0px" },
  );
  const watching = observer;
  signals.set(element, tell);
  watching.observe(element);
  return () => watching.unobserve(element);
}

export const isPrinting: Signal<boolean> = printing;

/** @param height of the children, pixels: they must be exactly as high, so that nothing moves */
export function Near(props: { height: number; children: () => ComponentChildren }) {
  const ref = useRef<HTMLDivElement>(null);
  const [near, setNear] = useState(false);
  useEffect(() => (ref.current === null ? undefined : watch(ref.current, setNear)), []);
  return (
    <div ref={ref} style={{ height: `${props.height}px` }}>
      {near || printing.value ? props.children() : null}
    </div>
  );
}
