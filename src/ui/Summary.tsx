import { modalities, type PlanItem, standingFindings } from '../exam/index.ts';
import type { Caution, Hypothesis, Localization, NextTest, Reason } from '../localize/index.ts';
import { findingLine, hypothesisName } from '../report/index.ts';
import { usePlace } from './context.ts';
import { late } from './late.ts';
import { part } from './Part.tsx';

/** Sites that are shown; the rest is in one sum. */
const shownSites = 5;
const shownTests = 3;

const Pathway = part(late(async () => (await import('./Pathway.tsx')).Pathway));

/** Where the lesion may be: what cannot wait first, then the sites with their reasons. */
export function Summary() {
  const { room, messages } = usePlace();
  const { text } = messages;
  const localization = room.localization.value;
  const localizing = room.localizing.value;
  if (localization === undefined && !localizing) return null;
  return (
    <section class="summary" aria-labelledby="summary-title">
      <h2 id="summary-title">{text.summary}</h2>
      <p role="status" class={localizing ? '' : 'unseen'}>
        {localizing ? text.localizing : text.localized}
      </p>
      {localization !== undefined && <Argument localization={localization} />}
    </section>
  );
}

function Argument({ localization }: { readonly localization: Localization }) {
  const { room, messages } = usePlace();
  const findings = standingFindings(room.dialogue.value.record);
  const { text } = messages;
  const { hypotheses, other, nextTests, cautions, nothing, enough } = localization;
  const shown = hypotheses.slice(0, shownSites);
  const rest = hypotheses.slice(shownSites).reduce((sum, h) => sum + h.probability, other);
  return (
    <>
      <Cautions cautions={cautions} />
      <p class="disclaimer">{messages.disclaimer}</p>
      {nothing !== undefined && <p>{nothing}</p>}
      {nothing === undefined && (
        <>
          <h3>{text.sites}</h3>
          <ol class="sites">
            {shown.map((hypothesis) => (
              <Site key={hypothesisName(hypothesis, messages.report)} hypothesis={hypothesis} />
            ))}
          </ol>
          {rest > 0 && (
            <p class="quiet">
              {text.elsewhere}: {messages.percent(rest)}
            </p>
          )}
        </>
      )}
      <Tests tests={nextTests.slice(0, shownTests)} />
      {enough !== undefined && <p>{enough}</p>}
      {nothing === undefined && <Pathway localization={localization} findings={findings} />}
    </>
  );
}

function Cautions({ cautions }: { readonly cautions: readonly Caution[] }) {
  const { messages } = usePlace();
  const { text } = messages;
  if (cautions.length === 0) return null;
  const order = { now: 0, soon: 1, note: 2 } as const;
  return (
    <ul class="cautions" aria-label={text.cautions}>
      {cautions
        .toSorted((a, b) => order[a.urgency] - order[b.urgency])
        .map(({ urgency, text: words, because }) => (
          <li key={words} data-urgency={urgency}>
            <b>{text[urgency]}</b> {words}
            {because.length > 0 && (
              <span class="quiet">
                {' '}
                ({text.because}{' '}
                {because.map((finding) => findingLine(finding, messages.report)).join('; ')})
              </span>
            )}
          </li>
        ))}
    </ul>
  );
}

function Site({ hypothesis }: { readonly hypothesis: Hypothesis }) {
  const { messages } = usePlace();
  const { text } = messages;
  const name = hypothesisName(hypothesis, messages.report);
  return (
    <li>
      <div class="site-name">
        <b>{name}</b>
        <span class="site-chance">{messages.percent(hypothesis.probability)}</span>
        <meter min={0} max={1} value={hypothesis.probability} aria-label={name} />
      </div>
      <dl>
        <Reasons title={text.speaksFor} reasons={hypothesis.explains} />
        <Reasons title={text.speaksAgainst} reasons={hypothesis.against} />
        <Reasons title={text.unexplained} reasons={hypothesis.unexplained} />
      </dl>
    </li>
  );
}

/** Reasons that are shown; the strongest come first. */
const shownReasons = 4;

function Reasons({
  title,
  reasons,
}: {
  readonly title: string;
  readonly reasons: readonly Reason[];
}) {
  if (reasons.length === 0) return null;
  return (
    <>
      <dt>{title}</dt>
      <dd>
        {reasons
          .slice(0, shownReasons)
          .map((reason) => reason.text)
          .join('; ')}
      </dd>
    </>
  );
}

function Tests({ tests }: { readonly tests: readonly NextTest[] }) {
  const { acts, messages } = usePlace();
  const { text } = messages;
  if (tests.length === 0) return null;
  return (
    <>
      <h3>{text.nextTests}</h3>
      <ul class="tests">
        {tests.map((test) => (
          <li key={test.name}>
            <p>{test.text}</p>
            <button type="button" onClick={() => acts.prompt(itemOf(test))}>
              {text.examineAgain}: {test.name}
            </button>
          </li>
        ))}
      </ul>
    </>
  );
}

function itemOf({ kind, site, modality: told }: NextTest): PlanItem {
  const modality = modalities.find((one) => one === told);
  return modality === undefined ? { kind, site } : { kind, site, modality };
}
