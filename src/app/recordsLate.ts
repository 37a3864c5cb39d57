import { late } from '../ui/index.ts';

/** What the records fetch when it is first wanted: no exam that is spoken or typed needs it. */

export const packs = late(() => import('./recordsPack.ts'));
export const imports = late(() => import('./recordsImport.ts'));
export const comparisons = late(() => import('./recordsComparison.ts'));
