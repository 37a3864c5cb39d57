import { type Kind, standingFindings } from '../exam/index.ts';
import { drawBody } from '../report/body.ts';
import { Asking } from './Asking.tsx';
import { Commands, Ear, Typing } from './Controls.tsx';
import { type Place, PlaceContext, usePlace } from './context.ts';
import { Drawing } from './Drawing.tsx';
import { Left } from './Left.tsx';
import { OpenPanel } from './OpenPanel.tsx';
import { Papers } from './Papers.tsx';
import { RecordsKeeping } from './RecordsKeeping.tsx';
import { RecordTable } from './RecordTable.tsx';
import { Stage } from './Stage.tsx';
import { Summary } from './Summary.tsx';
import { Transcript } from './Transcript.tsx';

/** The whole page. */
export function ExamRoom(place: Place) {
  const { text, program, tagline, disclaimer } = place.messages;
  const { panel } = place.room;
  return (
    <PlaceContext.Provider value={place}>
      <a class="skip" href="#typing">
        {text.skipToTyping}
      </a>
      <header class="top">
        <Mark />
        <div>
          <h1>{program}</h1>
          <p class="quiet">{tagline}</p>
        </div>
        <nav>
          <button
            type="button"
            onClick={() => {
              panel.value = 'help';
            }}
          >
            {text.help}
          </button>
          <button
            type="button"
            onClick={() => {
              panel.value = 'settings';
            }}
          >
            {text.settings}
          </button>
        </nav>
      </header>
      <main>
        <div class="front">
          <Stage />
          <Asking />
          <Ear />
          <Typing />
          <Commands />
        </div>
        <Summary />
        <div class="sheet">
          <RecordTable />
          <Body />
        </div>
        <div class="rest">
          <RecordsKeeping />
          <Left />
          <Papers />
          <Transcript />
        </div>
      </main>
      <footer>
        <p>{disclaimer}</p>
      </footer>
      <OpenPanel />
    </PlaceContext.Provider>
  );
}

/** A reflex hammer, drawn for this program. */
function Mark() {
  return (
    <svg class="mark" viewBox="0 0 48 48" aria-hidden="true" focusable="false">
      <path d="M19 20 36 42" class="line wide" />
      <path d="M6 19 26 5l5 9L11 28Z" class="fill" />
    </svg>
  );
}

/** What the figure has a place for. */
const drawn: ReadonlySet<Kind> = new Set(['reflex', 'plantar', 'superficial']);

/** The figure examiners draw by hand; it says in words what it shows. */
function Body() {
  const { room, messages } = usePlace();
  const findings = standingFindings(room.dialogue.value.record);
  if (!findings.some(({ kind }) => drawn.has(kind))) return null;
  return (
    <figure class="body-outline" aria-labelledby="body-caption">
      <Drawing markup={drawBody(findings, 'body', messages.drawings)} />
      <figcaption class="quiet" id="body-caption">
        {messages.text.body}
      </figcaption>
    </figure>
  );
}
