import { fullDepth, localize, localizeMessages } from '../localize/index.ts';
import type { Answer, Ask } from './localizer.ts';

/** Takes findings and answers with where the lesion is. */
addEventListener('message', ({ data: { id, findings, language } }: MessageEvent<Ask>) => {
  try {
    const localization = localize(findings, fullDepth, localizeMessages[language]);
    postMessage({ id, is: 'done', localization } satisfies Answer);
  } catch (failure) {
    const message = failure instanceof Error ? failure.message : String(failure);
    postMessage({ id, is: 'failed', message } satisfies Answer);
  }
});
