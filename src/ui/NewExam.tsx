import { usePlace } from './context.ts';

/** Before an exam that was not saved is let go. */
export function NewExam() {
  const { room, acts, messages } = usePlace();
  const { text } = messages;
  const unsaved = room.unsaved.value;
  return (
    <>
      <p role="status">{unsaved ? text.notSaved : text.savedNow}</p>
      <ul class="commands">
        <li>
          <button
            type="button"
            class={unsaved ? 'main' : ''}
            onClick={() => acts.save('record.json')}
          >
            {text.saveJson}
          </button>
        </li>
        <li>
          <button type="button" class={unsaved ? '' : 'main'} onClick={acts.beginAnyway}>
            {unsaved ? text.beginAnyway : text.beginNow}
          </button>
        </li>
      </ul>
    </>
  );
}
