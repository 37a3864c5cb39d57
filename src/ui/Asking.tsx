import { promptText, questionText, readBackText } from '../dialogue/index.ts';
import { type Choice, choicesOf, repliesTo } from './choice.ts';
import { usePlace } from './context.ts';

/** What waits for an answer: a question of the dialogue, else the item that is asked for now. */
export function Asking() {
  const { room, messages } = usePlace();
  const { text } = messages;
  const { asked, expected } = room.dialogue.value;
  const [first, ...later] = asked;
  if (first !== undefined) {
    const words =
      first.is === 'slot'
        ? questionText(first.question, messages.dialogue)
        : messages.dialogue.didYouSay(readBackText(first.doubted.findings, messages.dialogue));
    return (
      <section class="asking" aria-labelledby="asking-title">
        <h2 id="asking-title">
          <span class="quiet">{text.question}</span> {words}
        </h2>
        <Answers label={text.answerWith} choices={choicesOf(first)} numbered />
        {later.length > 0 && (
          <p class="quiet">
            {messages.count(later.length)} {text.questionsLater}
          </p>
        )}
      </section>
    );
  }
  if (expected === undefined) return null;
  return (
    <section class="asking" aria-labelledby="asking-title">
      <h2 id="asking-title">
        <span class="quiet">{text.prompt}</span> {promptText(expected, messages.dialogue)}
      </h2>
      {repliesTo(expected).map(({ side, choices }) => (
        <div class="answers-row" key={side}>
          {side !== 'midline' && <h3>{messages.sides[side]}</h3>}
          <Answers
            label={side === 'midline' ? text.answerWith : messages.sides[side]}
            choices={choices}
          />
        </div>
      ))}
      <Leave />
    </section>
  );
}

function Leave() {
  const { acts } = usePlace();
  return (
    <p class="answers">
      <button type="button" onClick={() => acts.say('skip')}>
        Skip
      </button>
    </p>
  );
}

function Answers({
  label,
  choices,
  numbered = false,
}: {
  readonly label: string;
  readonly choices: readonly Choice[];
  /** Each can be said by its number, too: "choice two". */
  readonly numbered?: boolean;
}) {
  const { acts } = usePlace();
  if (choices.length === 0) return null;
  return (
    <ul class="answers" aria-label={label}>
      {choices.map(({ label: shown, words }, i) => (
        <li key={words}>
          <button type="button" class="answer" onClick={() => acts.say(words)}>
            {numbered && <span class="number">{i + 1}</span>} <b>{shown}</b>
            {words !== shown && <span class="quiet">{words}</span>}
          </button>
        </li>
      ))}
    </ul>
  );
}
