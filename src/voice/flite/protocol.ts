import type { PortErrorCode } from '../../ports.ts';
import type { Manner, Speech } from './flite.ts';

/** What the page sends to the synthesiser's worker. */
export interface Ask {
  readonly id: number;
  readonly text: string;
  readonly manner: Manner;
}

/** What comes back: one answer for each ask, in the order asked. */
export type Answer =
  | { readonly id: number; readonly is: 'speech'; readonly speech: Speech }
  | {
      readonly id: number;
      readonly is: 'failure';
      readonly code: PortErrorCode;
      readonly message: string;
    };
