import { usePlace } from './context.ts';

/** The papers by the names that report/ gives its files. */
const papers = [
  ['saveNote', 'note.txt'],
  ['savePage', 'note.html'],
  ['saveJson', 'record.json'],
  ['saveCsv', 'record.csv'],
  ['saveFhir', 'bundle.fhir.json'],
] as const;

/** What an exam leaves behind, saved where the browser saves its downloads. */
export function Papers() {
  const { room, acts, messages } = usePlace();
  const { text } = messages;
  const empty = room.dialogue.value.record.entries.length === 0;
  return (
    <section class="papers" aria-labelledby="papers-title">
      <h2 id="papers-title">{text.papers}</h2>
      <ul class="commands">
        <li>
          <button type="button" disabled={empty} onClick={acts.copyNote}>
            {text.copyNote}
          </button>
        </li>
        {papers.map(([key, name]) => (
          <li key={name}>
            <button type="button" disabled={empty} onClick={() => acts.save(name)}>
              {text[key]}
            </button>
          </li>
        ))}
        <li>
          <button type="button" onClick={acts.begin}>
            {text.newExam}
          </button>
        </li>
      </ul>
    </section>
  );
}
