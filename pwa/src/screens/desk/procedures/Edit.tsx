/** Writing a procedure: its fields, what is still to be mended, how the phone shows it, and publishing it. */
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { t } from "../../../messages";
import { forgetDraft } from "../../../state/drafts";
import { replace, to } from "../../../state/route";
import { HoldButton } from "../../../ui/HoldButton";
import { TextField } from "../../../ui/TextField";
import { useAsked } from "../asked";
import { DeskPage } from "../DeskPage";
import { download } from "./download";
import { type Path, textOf } from "./draft";
import { dotted, type Editing, EditingProvider, faultAt, placeId, useEditing } from "./editing";
import { Field } from "./Field";
import { LevelWithRest } from "./Level";
import { Mend } from "./Mend";
import { Preview } from "./Preview";
import { Publish } from "./Publish";
import { type DraftState, type Loaded, loadDraft, useDraft } from "./useDraft";

type Props = { readonly id: string; readonly part: string | undefined };

export function Edit({ id, part }: Props) {
  const { answer, wrong, again } = useAsked(() => loadDraft(id), id);
  if (!answer) return <DeskPage title={t("procedure-edit")} wrong={wrong} again={again} />;
  return <Edited loaded={answer} part={part} />;
}

type EditedProps = { readonly loaded: Loaded; readonly part: string | undefined };

function Edited({ loaded, part }: EditedProps) {
  const state = useDraft(loaded.kept);
  const places = useOpen();
  const { key } = loaded.kept;
  const editing: Editing = {
    form: loaded.form,
    draft: state.draft,
    faults: state.checked?.faults ?? [],
    Field,
    change: state.change,
    ...places,
  };
  if (part === "preview") return <Preview id={key} state={state} />;
  if (part === "publish") return <Publish kept={loaded.kept} state={state} />;
  return (
    <EditingProvider value={editing}>
      <DeskPage title={t("procedure-edit")} over={overOf(state)}>
        <div class="procedure-beside">
          <aside class="procedure-aside">
            <Doing id={key} state={state} />
            <Mend state={state} form={loaded.form} show={places.show} />
          </aside>
          <form class="recipe procedure-form" onSubmit={(event) => event.preventDefault()} noValidate>
            {loaded.kept.base === null && <ShortName />}
            <LevelWithRest path={[]} fields={loaded.form.fields} />
          </form>
        </div>
      </DeskPage>
    </EditingProvider>
  );
}

const overOf = ({ draft }: DraftState): string =>
  t("procedure-becomes", { id: textOf(draft.id) || "none", version: textOf(draft.version) });

function Doing({ id, state }: { readonly id: string; readonly state: DraftState }) {
  const [sure, setSure] = useState(false);
  const file = state.current ? (state.checked?.file ?? null) : null;
  const away = async () => {
    await forgetDraft(id);
    replace("record", "procedures");
  };
  return (
    <div class="row-presses">
      <a class="press small" href={to("record", "procedure-edit", id, "preview")}>
        {t("procedure-preview")}
      </a>
      <a class="press small" href={to("record", "procedure-edit", id, "publish")}>
        {t("procedure-publish")}
      </a>
      <button
        type="button"
        class="press small"
        aria-disabled={file === null}
        onClick={() => file !== null && download(`${textOf(state.draft.id)}.yaml`, file)}
      >
        {t("procedure-download")}
      </button>
      {sure ? (
        <HoldButton label={t("procedure-throw")} tone="stop" onHeld={() => void away().catch(reportError)} />
      ) : (
        <button type="button" class="press small" onClick={() => setSure(true)}>
          {t("procedure-throw")}
        </button>
      )}
    </div>
  );
}

/** What records name the procedure by: given once, with the first version. */
function ShortName() {
  const { draft, faults, change } = useEditing();
  const fault = faultAt(faults, ["id"]);
  return (
    <div id={placeId(["id"])}>
      <TextField
        label={t("procedure-short-name")}
        value={textOf(draft.id)}
        onValue={(typed) => change(["id"], typed)}
        help={t("procedure-short-name-help")}
        longest={64}
        {...(fault === undefined ? {} : { fault })}
      />
    </div>
  );
}

/** Which rows are unfolded, and the way to a field that is to be mended. */
function useOpen() {
  const [open, setOpenAll] = useState<ReadonlySet<string>>(new Set());
  const wanted = useRef<Path | null>(null);
  useEffect(() => {
    if (!wanted.current) return;
    focusField(wanted.current);
    wanted.current = null;
  }, [open]);
  return useMemo(
    () => ({
      isOpen: (path: Path) => open.has(dotted(path)),
      setOpen: (path: Path, on: boolean) => setOpenAll((held) => turned(held, dotted(path), on)),
      reseat: (list: Path, seats: readonly (number | null)[]) =>
        setOpenAll((held) => reseated(held, dotted(list), seats)),
      show: (path: Path) => {
        wanted.current = path;
        const around = path.map((_, at) => dotted(path.slice(0, at + 1)));
        setOpenAll((held) => new Set([...held, ...around]));
      },
    }),
    [open],
  );
}

function turned(held: ReadonlySet<string>, place: string, on: boolean): ReadonlySet<string> {
  const next = new Set(held);
  if (on) next.add(place);
  else next.delete(place);
  return next;
}

function reseated(
  held: ReadonlySet<string>,
  list: string,
  seats: readonly (number | null)[],
): ReadonlySet<string> {
  const start = `${list}.`;
  const moved = [...held].flatMap((place) => {
    if (!place.startsWith(start)) return [place];
    const [number = "", ...rest] = place.slice(start.length).split(".");
    const seat = seats[Number(number)];
    return seat === null || seat === undefined ? [] : [[list, seat, ...rest].join(".")];
  });
  return new Set(moved);
}

/** Puts the focus into the field at a path, or the nearest thing around it that is on the screen. */
function focusField(path: Path): void {
  for (let length = path.length; length > 0; length -= 1) {
    const place = document.getElementById(placeId(path.slice(0, length)));
    const control =
      place?.querySelector<HTMLElement>("[aria-invalid]") ??
      place?.querySelector<HTMLElement>("input, select, textarea, button");
    if (!control) continue;
    control.focus();
    control.scrollIntoView({ block: "center" });
    return;
  }
}
