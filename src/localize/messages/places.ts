import type { Finding, LanguageId, Side } from '../../exam/index.ts';
import { placesEnglish } from '../english/places.ts';
import type { Focus } from '../lesion.ts';

/** How the reasoning names what was examined and found, in one language. */
export interface PlaceMessages {
  /** The place of an item: "ankle jerk", "ankle dorsiflexion", "pinprick on the outer leg". */
  readonly place: (kind: string, site: string, modality?: string) => string;
  /** "ankle jerk left 0", "ankle dorsiflexion right 3/5", "plantar response left extensor". */
  readonly finding: (finding: Finding) => string;
  /** A finding that is the same on both sides, from its words without a side. */
  readonly onBothSides: (finding: string) => string;
  /** Findings with a quality of theirs (a reflex that crosses over), where they have one. */
  readonly together: (findings: readonly string[], more: number, quality?: string) => string;
  /** A nerve or a part of a plexus that can be cut. */
  readonly cut: (focus: Extract<Focus, { readonly group: 'nerve' | 'plexus' }>) => string;
  /** An item as one asks for it: "Hip abduction, left". */
  readonly item: (place: string, side: Side) => string;
}

export const placeMessages: Readonly<Record<LanguageId, PlaceMessages>> = { en: placesEnglish };
