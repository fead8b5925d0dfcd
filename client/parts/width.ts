/** The width of an element, kept up to date; 0 before it is drawn. */
import type { RefObject } from "preact";
import { useEffect, useState } from "preact/hooks";

export function useWidth(ref: RefObject<HTMLElement | null>): number {
  const [width, setWidth] = useState(0);
  useEffect(() => {
    const element = ref.current;
    if (element === null) return;
    const observer = new ResizeObserver(() => setWidth(Math.floor(element.clientWidth)));
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  return width;
}
