import { Component, type ComponentChildren } from "preact";
import { shell as words } from "../words/shell";

interface Props {
  /** Going somewhere else is a fresh start. */
  readonly path: string;
  readonly children: ComponentChildren;
}

/** A screen that failed says so and leaves the way around the app standing. Nothing saved is touched. */
export class Boundary extends Component<Props, { readonly failedAt: string | null }> {
  override state: { readonly failedAt: string | null } = { failedAt: null };

  override componentDidCatch(error: unknown): void {
    reportError(error);
    this.setState({ failedAt: this.props.path });
  }

  override render() {
    if (this.state.failedAt !== this.props.path) return this.props.children;
    return (
      <div class="page" role="alert">
        <h1>{words.failedTitle}</h1>
        <p>{words.failed}</p>
        <button type="button" class="button button-main" onClick={() => location.reload()}>{words.reload}</button>
      </div>
    );
  }
}
