import type { LanguageId } from '../exam/index.ts';
import { english, type Messages } from './messages.ts';

/** The words of the page by language. */
export const interfaceMessages: Readonly<Record<LanguageId, Messages>> = { en: english };
