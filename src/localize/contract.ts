import type { Hypothesis, Localization } from './result.ts';

/** A localization as it is exchanged: reasons as plain sentences. */
export interface LocalizationJson {
  readonly hypotheses: readonly {
    readonly site: string;
    readonly side: string;
    readonly sites?: readonly { readonly site: string; readonly side: string }[];
    readonly probability: number;
    readonly explains: readonly string[];
    readonly against: readonly string[];
    readonly name: string;
  }[];
  /** Probability of everything not listed; with the list it adds to 1. */
  readonly other: number;
  readonly nextTests: readonly {
    readonly kind: string;
    readonly site: string;
    readonly side: string;
    readonly modality?: string;
    readonly name: string;
    readonly text: string;
    readonly bits: number;
    readonly outcomes: readonly { readonly value: string; readonly towards: string }[];
  }[];
  readonly cautions: readonly { readonly urgency: string; readonly text: string }[];
  readonly nothing?: string;
  readonly enough?: string;
}

const lines = (reasons: Hypothesis['explains']): readonly string[] =>
  reasons.map(({ text }) => text);

/** The exchanged form of a localization. What a site leaves over counts against it. */
export function contractJson(localization: Localization): LocalizationJson {
  const { hypotheses, other, nextTests, cautions, nothing, enough } = localization;
  return {
    hypotheses: hypotheses.map(
      ({ site, side, sites, probability, explains, against, unexplained, name }) => ({
        site,
        side,
        ...(sites === undefined
          ? {}
          : { sites: sites.map((s) => ({ site: s.site, side: s.side })) }),
        probability,
        explains: lines(explains),
        against: [...lines(against), ...lines(unexplained).map((text) => `unexplained: ${text}`)],
        name,
      }),
    ),
    other,
    nextTests: nextTests.map(({ kind, site, side, modality, name, text, bits, outcomes }) => ({
      kind,
      site,
      side,
      ...(modality === undefined ? {} : { modality }),
      name,
      text,
      bits,
      outcomes,
    })),
    cautions: cautions.map(({ urgency, text }) => ({ urgency, text })),
    ...(nothing === undefined ? {} : { nothing }),
    ...(enough === undefined ? {} : { enough }),
  };
}
