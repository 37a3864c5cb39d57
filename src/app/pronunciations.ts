import text from '../../grammars/pronunciations.dict?raw';
import { type Pronunciations, readPronunciations } from '../engines/soundswallower/dictionary.ts';

/** Sounds of the grammar's words that no general dictionary has. */
export const pronunciations = (): Pronunciations => readPronunciations(text, 'pronunciations.dict');
