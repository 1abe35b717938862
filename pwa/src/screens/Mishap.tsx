/** What went wrong with nobody to say it: an error that no screen has caught, a screen that cannot be drawn. */
import { Component, type ComponentChildren } from "preact";
import { t } from "../messages";
import { mishap } from "../state/mishap";
import { type Route, route, to } from "../state/route";
import { Page } from "../ui/Page";

export function Mishap() {
  if (!mishap.value) return null;
  const close = () => {
    mishap.value = false;
  };
  return (
    <div class="refused" role="alert">
      <p>{t("mishap")}</p>
      <button type="button" class="press small" onClick={close}>
        {t("mishap-close")}
      </button>
    </div>
  );
}

/** Leaves the bar, the alarm and the way home where a screen fails; another address is another try. */
export class Drawn extends Component<{ readonly children: ComponentChildren }, { readonly at: Route }> {
  override componentDidCatch(error: unknown): void {
    console.error(error);
    this.setState({ at: route.peek() });
  }

  override render() {
    if (this.state.at !== route.value) return this.props.children;
    return (
      <Page title={t("screen-broken")}>
        <a class="press main" href={to()}>
          {t("home")}
        </a>
      </Page>
    );
  }
}
