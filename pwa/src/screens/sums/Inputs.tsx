/** What a sum is given: numbers on the app's own keys, choices, days, and tables of rows. */
import type { ComponentChildren } from "preact";
import { t } from "../../messages";
import type { Asked, Calculation, Figures, SumInput } from "../../state/sums";
import { decimalMark, figure } from "../../ui/figures";
import { TextField } from "../../ui/TextField";
import { Value } from "../../ui/Working";
import { read, rowsOf, type Spot, sameSpot } from "./figures";

type Props = {
  readonly row: Calculation;
  readonly figures: Figures;
  readonly wrong: Readonly<Record<string, string>>;
  /** The number that is being keyed. */
  readonly spot: Spot | null;
  readonly change: (figures: Figures) => void;
  readonly move: (spot: Spot | null) => void;
};
type OneProps = Props & { readonly input: SumInput };

export const spotId = ({ input, row, column }: Spot): string => `sum-${input}-${row}-${column}`;

export function Inputs(props: Props) {
  return props.row.inputs.map((input) => {
    const One = input.kind ? KINDS[input.kind] : NumberInput;
    return <One key={input.id} {...props} input={input} />;
  });
}

const KINDS = { choice: Choice, date: Day, series: Rows };

function NumberInput(props: OneProps) {
  const { input, wrong } = props;
  const id = `sum-${input.id}`;
  return (
    <div class="sum-input">
      <NumberPress {...props} asked={input} place={{ input: input.id, row: 0, column: 0 }} told={id} />
      <Told id={id} wrong={wrong[input.id]}>
        {range(input)}
      </Told>
    </div>
  );
}

type PressProps = OneProps & { readonly asked: Asked; readonly place: Spot; readonly told: string };

/** A figure as it stands; pressing it brings up the number keys. */
function NumberPress({ figures, spot, move, asked, place, told, wrong, input }: PressProps) {
  const text = read(figures, place);
  const value = text === "" ? (asked.default ?? "–") : text;
  return (
    <button
      type="button"
      id={spotId(place)}
      class="sum-figure"
      aria-pressed={sameSpot(spot, place)}
      aria-describedby={told}
      data-given={text !== ""}
      data-wrong={!input.kind && input.id in wrong}
      onClick={() => move(sameSpot(spot, place) ? null : place)}
    >
      <span class="sum-label">{asked.label}</span>{" "}
      <Value value={figure(value).replace(".", decimalMark)} unit={asked.unit} />
    </button>
  );
}

type ToldProps = {
  readonly id: string;
  readonly wrong: string | undefined;
  readonly children: ComponentChildren;
};

/** Beneath an input: what it may be; once it is wrong, what the core says about it. */
function Told({ id, wrong, children }: ToldProps) {
  return (
    <div id={id}>
      <p class="help">{children}</p>
      <p class="wrong" role="alert">
        {wrong}
      </p>
    </div>
  );
}

/** The range in words, and what it is when nothing is keyed. */
function range(asked: Asked): string {
  const withUnit = (value: string): string => `${figure(value)} ${asked.unit}`.trim();
  return [
    asked.min !== undefined && t("sums-range", { min: figure(asked.min), max: withUnit(asked.max ?? "") }),
    asked.whole && t("sums-whole"),
    asked.default !== undefined && t("sums-empty", { value: withUnit(asked.default) }),
    asked.optional && t("sums-optional"),
  ]
    .filter(Boolean)
    .join(" ");
}

function Choice({ input, figures, wrong, change }: OneProps) {
  const held = figures[input.id] ?? input.default ?? "";
  return (
    <fieldset class="options sum-input">
      <legend>{input.label}</legend>
      {input.options?.map(([id, label]) => (
        <button
          type="button"
          key={id}
          class="option"
          aria-pressed={held === id}
          onClick={() => change({ ...figures, [input.id]: id })}
        >
          <span class="option-mark" aria-hidden="true" />
          {label}
        </button>
      ))}
      <p class="wrong" role="alert">
        {wrong[input.id]}
      </p>
    </fieldset>
  );
}

function Day({ input, figures, wrong, change }: OneProps) {
  const held = figures[input.id];
  return (
    <div class="sum-input">
      <TextField
        label={input.label}
        type="date"
        value={typeof held === "string" ? held : ""}
        onValue={(day) => change({ ...figures, [input.id]: day })}
        {...(input.optional ? { help: t("sums-optional") } : {})}
      />
      <p class="wrong" role="alert">
        {wrong[input.id]}
      </p>
    </div>
  );
}

function Rows(props: OneProps) {
  const { input, figures, wrong, change, move } = props;
  const rows = rowsOf(input, figures);
  const columns = input.columns ?? [];
  const id = `sum-${input.id}`;
  const least = input.rows ?? 1;
  const put = (next: readonly (readonly string[])[]) => change({ ...figures, [input.id]: next });
  return (
    <fieldset class="sum-input sum-rows">
      <legend>{input.label}</legend>
      <Told id={id} wrong={wrong[input.id]}>
        <span>{t("sums-rows", { least })}</span>
        {columns.map((asked) => (
          <span key={asked.id}>{t("sums-range-of", { label: asked.label, range: range(asked) })}</span>
        ))}
      </Told>
      {rows.map((_, at) => (
        <fieldset key={`row ${at + 1}`} class="sum-row">
          <legend>{t("sums-row", { number: at + 1 })}</legend>
          {columns.map((asked, column) => (
            <NumberPress
              key={asked.id}
              {...props}
              asked={asked}
              place={{ input: input.id, row: at, column }}
              told={id}
            />
          ))}
        </fieldset>
      ))}
      <div class="field-presses">
        <button type="button" class="press" onClick={() => put([...rows, columns.map(() => "")])}>
          {t("sums-row-more")}
        </button>
        {rows.length > least && (
          <button
            type="button"
            class="press"
            onClick={() => {
              move(null);
              put(rows.slice(0, -1));
            }}
          >
            {t("sums-row-less")}
          </button>
        )}
      </div>
    </fieldset>
  );
}
