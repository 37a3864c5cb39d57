import { type Pronunciations, readPronunciations } from '../engines/soundswallower/dictionary.ts';
import { chosenLanguage, type LanguageId } from '../exam/index.ts';
import { ofLanguage } from './language.ts';

const files = import.meta.glob<string>('../../grammars/*/pronunciations.dict', {
  query: '?raw',
  import: 'default',
  eager: true,
});

/** Sounds of a grammar's words that no general dictionary has. */
export function pronunciations(id: LanguageId = chosenLanguage): Pronunciations {
  const [own] = ofLanguage(id, files);
  return readPronunciations(own?.text ?? '', `grammars/${id}/pronunciations.dict`);
}
