/** How much of the window something fixed covers, kept up to date for styles: it differs from screen to screen. */
import type { RefObject } from "preact";
import { useLayoutEffect } from "preact/hooks";

/**
 * @param property a custom property of the page that becomes the height, pixels
 * @param there whether the element stands on the page already
 */
export function useCovers(ref: RefObject<HTMLElement | null>, property: `--${string}`, there = true): void {
  useLayoutEffect(() => {
    const element = ref.current;
    if (element === null) return;
    const { style } = document.documentElement;
    const measure = (): void => {
      const height = `${element.offsetHeight}px`;
      if (style.getPropertyValue(property) !== height) style.setProperty(property, height);
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    return () => observer.disconnect();
  }, [there]);
}
