/** Draws a component again only when one of its props is another value. */
import { Component, type ComponentChild, type FunctionComponent, h } from "preact";

export function memo<Props extends object>(inner: FunctionComponent<Props>): FunctionComponent<Props> {
  class Memo extends Component<Props> {
    override shouldComponentUpdate(next: Props): boolean {
      const now = this.props as Record<string, unknown>;
      const then = next as Record<string, unknown>;
      return Object.keys({ ...now, ...then }).some((key) => now[key] !== then[key]);
    }
    override render(): ComponentChild {
      return h(inner, this.props as Props & object);
    }
  }
  return Memo as unknown as FunctionComponent<Props>;
}
