import { useSignal } from '@preact/signals';
import { useMemo } from 'preact/hooks';
import { usePlace } from './context.ts';
import type { Phrase } from './room.ts';

/** What can be said, from the grammar itself; each example does what it says. */
export function Help() {
  const { room, messages } = usePlace();
  const { text } = messages;
  const search = useSignal('');
  const aloud = useSignal(false);
  const phrases = useMemo(() => room.phrases(), [room]);
  const found = phrases.filter((phrase) => has(phrase, search.value));
  const groups = [...new Set(found.map(({ group }) => group))];
  return (
    <>
      <p>{text.helpIntro}</p>
      <label class="field">
        <span>{text.search}</span>
        <input
          type="search"
          value={search.value}
          onInput={({ currentTarget }) => {
            search.value = currentTarget.value;
          }}
        />
      </label>
      {room.settings.value.voice !== 'silent' && (
        <label class="option">
          <input
            type="checkbox"
            checked={aloud.value}
            onChange={({ currentTarget }) => {
              aloud.value = currentTarget.checked;
            }}
          />
          <span>{text.hearExamples}</span>
        </label>
      )}
      {found.length === 0 && <p role="status">{text.searchNone}</p>}
      {groups.map((group) => (
        <section key={group}>
          <h3>{group}</h3>
          <ul class="phrases">
            {found
              .filter((phrase) => phrase.group === group)
              .map((phrase) => (
                <PhraseButton key={phrase.words} phrase={phrase} aloud={aloud.value} />
              ))}
          </ul>
        </section>
      ))}
    </>
  );
}

function PhraseButton({
  phrase,
  aloud,
}: {
  readonly phrase: Phrase;
  /** It is spoken as an example, and nothing comes of it. */
  readonly aloud: boolean;
}) {
  const { room, acts } = usePlace();
  return (
    <li>
      <button
        type="button"
        class="plain"
        onClick={() => {
          if (aloud) {
            acts.speak(phrase.words);
            return;
          }
          room.panel.value = 'none';
          acts.say(phrase.words);
        }}
      >
        {phrase.words}
      </button>
      {phrase.means !== phrase.words && <span class="quiet">{phrase.means}</span>}
    </li>
  );
}

const has = ({ words, means, group }: Phrase, search: string): boolean => {
  const all = `${words} ${means} ${group}`.toLowerCase();
  return search
    .toLowerCase()
    .split(/\s+/)
    .every((word) => all.includes(word));
};
