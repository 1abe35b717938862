/** Views of the register that people keep on this desk under a name of theirs. */
import { useState } from "preact/hooks";
import { t } from "../../../messages";
import { to } from "../../../state/route";
import { forgetView, savedViews, saveView } from "../../../state/views";
import { TextField } from "../../../ui/TextField";
import { useAsked } from "../asked";
import "../../../ui/styles/register.css";

const LONGEST = 60;

export function Views({ parts }: { readonly parts: readonly string[] }) {
  const { answer, again } = useAsked(savedViews, "views");
  const [name, setName] = useState("");
  const views = answer ?? [];
  const here = to("record", "register", ...parts);
  const save = async () => {
    await saveView({ name: name.trim(), parts });
    setName("");
    again();
  };
  return (
    <details class="saved-views">
      <summary>{t("views-title", { count: views.length })}</summary>
      {views.length > 0 && (
        <ul>
          {views.map((view) => (
            <li key={view.name}>
              <a
                href={to("record", "register", ...view.parts)}
                aria-current={to("record", "register", ...view.parts) === here ? "page" : undefined}
              >
                {view.name}
              </a>
              <button
                type="button"
                class="press small"
                onClick={() => void forgetView(view.name).then(again, reportError)}
                aria-label={t("views-forget-named", { name: view.name })}
              >
                {t("views-forget")}
              </button>
            </li>
          ))}
        </ul>
      )}
      <form
        onSubmit={(event) => {
          event.preventDefault();
          if (name.trim()) void save().catch(reportError);
        }}
      >
        <TextField label={t("views-name")} value={name} onValue={setName} longest={LONGEST} />
        <button type="submit" class="press small" disabled={name.trim() === ""}>
          {t("views-save")}
        </button>
      </form>
    </details>
  );
}
