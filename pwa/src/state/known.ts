/** Looking things up in the reference this phone holds: people, vessels, procedures, cautions. */
import { t } from "../messages";
import type { Recipe, VesselCard } from "../shapes";
import { reference } from "../sync";
import type { Caution, Procedure, Step } from "./view";

export type { Recipe as RecipeCard, VesselCard };

/** Those out of use too: records still name them. */
export const everyVessel = (): readonly VesselCard[] => reference.value?.vessels ?? [];
export const vesselCards = (): readonly VesselCard[] => everyVessel().filter(({ in_use = true }) => in_use);
export const vesselCard = (id: string | null): VesselCard | undefined =>
  everyVessel().find((vessel) => vessel.id === id);

/** A vessel's name, or its id where the reference no longer has it. */
export const vesselName = (id: string | null): string => vesselCard(id)?.name ?? id ?? "";

/** "FV3 · Fermenter caustic clean"; the title alone where no vessel is named. */
export const runTitle = (vessel: string | null, title: string): string =>
  vessel ? t("run-name", { vessel: vesselName(vessel), title }) : title;

/** An instrument's name, or what a reading says where the site lists none of that id. */
export const instrumentName = (id = ""): string =>
  String(reference.value?.instruments?.find((row) => row.id === id)?.name ?? id);

/** The newest version of each, and after it those that gyles of late were begun with. */
const recipeVersions = (): readonly Recipe[] => reference.value?.recipes ?? [];

/** The site's recipes, each in its newest version. */
export const recipeCards = (): readonly Recipe[] =>
  recipeVersions().filter((row, at, all) => all.findIndex((other) => other.id === row.id) === at);
export const recipeCard = (id: string, version?: number): Recipe | undefined =>
  recipeVersions().find((row) => row.id === id && (version === undefined || row.version === version));

/** A person's name; records hold ids only, so one who has been erased shows as the id. */
export function personName(id: string): string {
  return reference.value?.people.find((person) => person.id === id)?.name ?? id;
}

export const procedures = (): readonly Procedure[] => reference.value?.procedures ?? [];

/** A procedure by id: the version asked for, or the newest. */
export function procedure(id: string | null, version?: number | null): Procedure | undefined {
  const held = procedures().filter((row) => row.id === id);
  if (version !== undefined && version !== null) return held.find((row) => row.version === version);
  return held.reduce<Procedure | undefined>(
    (best, row) => (best && best.version > row.version ? best : row),
    undefined,
  );
}

/** The newest version of every procedure, in the order of the reference. */
export function offered(): readonly Procedure[] {
  return procedures().filter((row) => procedure(row.id) === row);
}

export const stepOf = (held: Procedure | null | undefined, id: string | null): Step | undefined =>
  held?.steps.find((step) => step.id === id);

export const cautions = (): readonly Caution[] => reference.value?.cautions ?? [];
export const caution = (id: string): Caution | undefined => cautions().find((row) => row.id === id);
