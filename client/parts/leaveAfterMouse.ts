/**
 * Takes the focus off a button that was clicked with a mouse or a finger, so that Enter does what the screen says it
 * does, and not what was clicked. One that was reached by the keyboard keeps it.
 */
export function leaveAfterMouse({ currentTarget: button }: { readonly currentTarget: HTMLElement }): void {
  if (!button.matches(":focus-visible")) button.blur();
}
