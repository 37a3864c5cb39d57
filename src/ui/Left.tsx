import { plans } from '../exam/index.ts';
import { usePlace } from './context.ts';

/** What the plan asks for and nobody examined; each item can be asked for by pressing it. */
export function Left() {
  const { room, acts, messages } = usePlace();
  const { text } = messages;
  const left = room.left.value;
  return (
    <section class="left" aria-labelledby="left-title">
      <h2 id="left-title">
        {text.left}
        {left.length > 0 && <span class="badge">{messages.count(left.length)}</span>}
      </h2>
      <label class="field">
        <span>{text.plan}</span>
        <select
          value={room.dialogue.value.record.plan}
          onChange={({ currentTarget }) => acts.plan(currentTarget.value)}
        >
          {plans.map(({ id, name }) => (
            <option key={id} value={id}>
              {name}
            </option>
          ))}
        </select>
      </label>
      {left.length === 0 ? (
        <p class="quiet">{text.leftNone}</p>
      ) : (
        <ul class="gaps">
          {left.map((gap) => (
            <li key={`${gap.kind}:${gap.site}/${gap.modality ?? ''}`}>
              <button type="button" class="plain" onClick={() => acts.prompt(gap)}>
                {gap.name}
              </button>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}
