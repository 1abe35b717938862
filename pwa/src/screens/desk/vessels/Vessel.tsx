/** One vessel: what is written of it. The office judges it, and each fault stands at its field. */
import { useState } from "preact/hooks";
import { Problem, send } from "../../../api";
import { t } from "../../../messages";
import { VESSEL_KIND, type VesselKind } from "../../../shapes";
import { everyVessel, type VesselCard, vesselCard } from "../../../state/known";
import { leave, to } from "../../../state/route";
import { syncNow } from "../../../sync";
import { Select } from "../../../ui/Select";
import { TextField } from "../../../ui/TextField";
import { said } from "../asked";
import { DeskPage } from "../DeskPage";
import { shortName } from "../shortname";

type Faults = Readonly<Record<string, string>>;
type Draft = Required<Omit<VesselCard, "id">>;

const PLATE = ["capacity_l", "charge_l", "diameter_m", "brews"] as const;
const LABELS = {
  capacity_l: "capacity",
  charge_l: "charge",
  diameter_m: "diameter",
  brews: "brews",
} as const;
const EMPTY: Draft = {
  name: "",
  kind: "fermenter",
  place: "",
  capacity_l: "",
  charge_l: "",
  diameter_m: "",
  brews: "",
  in_use: true,
};

const isFields = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === "object" && value !== null;
const isKept = (value: unknown): value is { readonly id: string } =>
  isFields(value) && typeof value.id === "string";

const keepVessel = (id: string, draft: Draft) =>
  send("PUT", `/api/desk/vessels/${encodeURIComponent(id)}`, draft, isKept);

/** What is wrong, by field, where the office says that of fields. */
function faultsOf(error: unknown): Faults {
  const errors = error instanceof Problem && "errors" in error.said ? error.said.errors : null;
  if (!isFields(errors)) return {};
  return Object.fromEntries(Object.entries(errors).map(([field, texts]) => [field, String(texts)]));
}

export function Vessel({ id }: { readonly id: string }) {
  const held = id === "" ? undefined : vesselCard(id);
  if (id !== "" && !held) return <DeskPage title={t("not-found")} />;
  return (
    <DeskPage title={held?.name ?? t("vessel-new")}>
      <Form {...(held ? { held } : {})} />
    </DeskPage>
  );
}

function Form({ held }: { readonly held?: VesselCard }) {
  const [draft, setDraft] = useState<Draft>({ ...EMPTY, ...held });
  const [faults, setFaults] = useState<Faults>({});
  const [wrong, setWrong] = useState("");
  const [busy, setBusy] = useState(false);
  const change = (part: Partial<Draft>) => {
    setDraft({ ...draft, ...part });
    setFaults({});
    setWrong("");
  };
  const keep = async (event: Event) => {
    event.preventDefault();
    if (busy) return;
    const id = held?.id ?? shortName(draft.name);
    if (!held && everyVessel().some((row) => row.id === id))
      return setFaults({ name: t("vessel-form-name-taken") });
    setBusy(true);
    try {
      await keepVessel(id || "-", draft);
      await syncNow();
      leave("record", "vessels");
    } catch (error) {
      const found = faultsOf(error);
      setFaults(found);
      if (Object.keys(found).length === 0) setWrong(said(error));
    }
    setBusy(false);
  };
  const fault = (field: string) => (faults[field] ? { fault: faults[field] } : {});
  return (
    <form class="recipe one-column" onSubmit={(event) => void keep(event)} noValidate>
      <TextField
        label={t("vessel-form-name")}
        value={draft.name}
        onValue={(name) => change({ name })}
        longest={60}
        {...fault("name")}
      />
      {!held && <Kind kind={draft.kind} onKind={(kind) => change({ kind })} />}
      <TextField
        label={t("vessel-form-place")}
        value={draft.place}
        onValue={(place) => change({ place })}
        longest={60}
        {...fault("place")}
      />
      <h2>{t("vessel-form-plate")}</h2>
      {PLATE.map((field) => (
        <TextField
          key={field}
          label={t(`vessel-form-${LABELS[field]}`)}
          value={draft[field]}
          onValue={(value) => change({ [field]: value })}
          numeric
          {...fault(field)}
        />
      ))}
      {held && <Use used={draft.in_use} onUse={(in_use) => change({ in_use })} {...fault("in_use")} />}
      {wrong && (
        <p class="refused" role="alert">
          {wrong}
        </p>
      )}
      <button type="submit" class="press main" aria-disabled={busy}>
        {t("figure-keep")}
      </button>
      {held && <a href={to("vessel", held.id)}>{t("vessel-page")}</a>}
    </form>
  );
}

type KindProps = { readonly kind: VesselKind; readonly onKind: (kind: VesselKind) => void };

function Kind({ kind, onKind }: KindProps) {
  return (
    <>
      <Select
        label={t("vessel-form-kind")}
        value={kind}
        onValue={(value) => onKind(VESSEL_KIND.find((one) => one === value) ?? kind)}
        options={VESSEL_KIND.map((one) => ({ id: one, name: t(`vessel-kind-${one}`) }))}
      />
      <p class="help">{t("vessel-form-kind-help")}</p>
    </>
  );
}

type UseProps = {
  readonly used: boolean;
  readonly onUse: (used: boolean) => void;
  readonly fault?: string;
};

function Use({ used, onUse, fault }: UseProps) {
  return (
    <>
      <Select
        label={t("vessel-form-use")}
        value={used ? "in" : "out"}
        onValue={(use) => onUse(use === "in")}
        options={[
          { id: "in", name: t("vessel-form-in-use") },
          { id: "out", name: t("vessel-form-out-of-use") },
        ]}
      />
      {!used && <p class="help">{t("vessel-form-out-help")}</p>}
      {fault && (
        <p class="refused" role="alert">
          {fault}
        </p>
      )}
    </>
  );
}
