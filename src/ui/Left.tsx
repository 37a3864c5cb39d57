import { gapName, ownPlanId, ownPlanOf, planName, plans } from '../exam/index.ts';
import { usePlace } from './context.ts';
import type { Room } from './room.ts';
import { roomMessages } from './roomMessages.ts';

/** What the plan asks for and nobody examined; each item can be asked for by pressing it. */
export function Left() {
  const { room, acts, messages } = usePlace();
  const { text } = messages;
  const left = room.left.value;
  const named = plans.map(({ id }) => ({ id, name: planName(id, messages.names) }));
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
          {[...named, ...ownPlans(room, messages.names.ownPlan)].map(({ id, name }) => (
            <option key={id} value={id}>
              {name}
            </option>
          ))}
        </select>
      </label>
      <p>
        <button
          type="button"
          onClick={() => {
            room.panel.value = 'plan';
          }}
        >
          Make my own plan
        </button>
      </p>
      {left.length === 0 ? (
        <p class="quiet">{text.leftNone}</p>
      ) : (
        <ul class="gaps">
          {left.map((gap) => (
            <li key={`${gap.kind}:${gap.site}/${gap.modality ?? ''}`}>
              <button type="button" class="plain" onClick={() => acts.prompt(gap)}>
                {gapName(gap, messages.names)}
              </button>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}

/** The examiner's own plan, and the one being followed where it has been changed since. */
function ownPlans(
  room: Room,
  name: string,
): readonly { readonly id: string; readonly name: string }[] {
  const now = ownPlanOf(ownPlanId(room.settings.value.own));
  const followed = ownPlanOf(room.dialogue.value.record.plan);
  const earlier = { id: followed?.id ?? '', name: roomMessages.ownPlan.earlier };
  return [
    ...(now === undefined ? [] : [{ id: now.id, name }]),
    ...(followed === undefined || followed.id === now?.id ? [] : [earlier]),
  ];
}
