import type { Finding } from '../exam/index.ts';
import { type Localization, pathwayOf, placeMessages } from '../localize/index.ts';
import { drawPathway } from '../report/pathway.ts';
import { usePlace } from './context.ts';
import { Drawing } from './Drawing.tsx';

/** The way of the nerve with what was found along it; fetched late, the sites are there before it. */
export function Pathway({
  localization,
  findings,
}: {
  readonly localization: Localization;
  readonly findings: readonly Finding[];
}) {
  const { text, drawings, language } = usePlace().messages;
  const pathway = pathwayOf(localization, findings, placeMessages[language]);
  const markup = drawPathway(pathway, 'pathway', drawings);
  return (
    <figure class="pathway" aria-labelledby="pathway-caption">
      <Drawing markup={markup} wide={text.pathway} />
      <figcaption class="quiet" id="pathway-caption">
        {text.pathway}
      </figcaption>
    </figure>
  );
}
