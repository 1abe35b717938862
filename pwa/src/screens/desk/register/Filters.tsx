/** What the register is asked for, one answer each. */
import { people } from "../../../identity";
import { t } from "../../../messages";
import { PROCEDURE_KIND, RUN_STATUS } from "../../../shapes";
import { everyVessel, offered } from "../../../state/known";
import { Select } from "../../../ui/Select";
import { TextField } from "../../../ui/TextField";
import type { Choice } from "./choice";
import { COUNTED } from "./found";

const SORTS = ["-opened", "opened", "vessel", "procedure", "person", "review", "-found"];

type Props = { readonly choice: Choice; readonly change: (part: Partial<Choice>) => void };

export function Filters({ choice, change }: Props) {
  const pick = (name: keyof Choice) => (value: string) => change({ [name]: value });
  const named = (ids: readonly string[], prefix: string) =>
    ids.map((id) => ({ id, name: t(`${prefix}-${id}`) }));
  return (
    <search class="filters" aria-label={t("register-filters")}>
      <Select
        none={t("filter-all")}
        label={t("filter-kind")}
        value={choice.kind}
        onValue={pick("kind")}
        options={named(PROCEDURE_KIND, "kind")}
      />
      <Select
        none={t("filter-all")}
        label={t("filter-vessel")}
        value={choice.vessel}
        onValue={pick("vessel")}
        options={everyVessel()}
      />
      <Select
        none={t("filter-all")}
        label={t("filter-procedure")}
        value={choice.procedure}
        onValue={pick("procedure")}
        options={offered()
          .filter((row) => !choice.kind || row.kind === choice.kind)
          .map((row) => ({ id: row.id, name: row.title }))}
      />
      <Select
        none={t("filter-all")}
        label={t("filter-status")}
        value={choice.status}
        onValue={pick("status")}
        options={[{ id: "closed", name: t("filter-closed") }, ...named(RUN_STATUS, "run-status")]}
      />
      <Select
        none={t("filter-all")}
        label={t("filter-person")}
        value={choice.person}
        onValue={pick("person")}
        options={people()}
      />
      <TextField label={t("filter-from")} type="date" value={choice.from} onValue={pick("from")} />
      <TextField label={t("filter-to")} type="date" value={choice.to} onValue={pick("to")} />
      <Select
        none={t("filter-all")}
        label={t("filter-found")}
        value={choice.found}
        onValue={pick("found")}
        options={named(["some", "none", ...COUNTED], "found")}
      />
      <Select
        none={t("filter-all")}
        label={t("filter-review")}
        value={choice.review}
        onValue={pick("review")}
        options={named(["waiting", "accepted", "rejected", "lapsed"], "filter-review")}
      />
      <Select
        label={t("filter-sort")}
        value={choice.sort}
        onValue={pick("sort")}
        options={SORTS.map((id) => ({ id, name: t(`sort-${id.replace("-", "last-")}`) }))}
      />
    </search>
  );
}
