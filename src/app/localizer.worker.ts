import { localize } from '../localize/index.ts';
import type { Answer, Ask } from './localizer.ts';

/** Takes findings and answers with where the lesion is. */
addEventListener('message', ({ data: { id, findings } }: MessageEvent<Ask>) => {
  try {
    postMessage({ id, is: 'done', localization: localize(findings) } satisfies Answer);
  } catch (failure) {
    const message = failure instanceof Error ? failure.message : String(failure);
    postMessage({ id, is: 'failed', message } satisfies Answer);
  }
});
