/** The width of an element, kept up to date and known before it is first painted; 0 until then. */
import type { RefObject } from "preact";
import { useLayoutEffect, useState } from "preact/hooks";

export function useWidth(ref: RefObject<HTMLElement | null>): number {
  const [width, setWidth] = useState(0);
  useLayoutEffect(() => {
    const element = ref.current;
    if (element === null) return;
    const measure = (): void => setWidth(Math.floor(element.clientWidth));
    // At once: who draws 160 pixels first and a thousand a moment later moves things from under the pointer.
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  return width;
}
