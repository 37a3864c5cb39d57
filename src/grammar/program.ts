import type { Expansion, Grammar } from './ast.ts';
import { ruleOf } from './link.ts';

/** Something met on the way through a sentence that takes no word itself. */
export type Mark =
  | { readonly is: 'tag'; readonly text: string }
  | { readonly is: 'enter' | 'leave'; readonly rule: string };

/**
 * One step of the little machine a rule is compiled to. `again` is the way back of a repetition,
 * told apart from other forks so that a network can keep it as a wordless arc instead of unrolling
 * every sentence into the beginning of the next. Where a step leads is counted from the step itself.
 */
export type Step =
  | { readonly op: 'word'; readonly word: string }
  | { readonly op: 'mark'; readonly mark: Mark }
  | { readonly op: 'fork'; readonly to: readonly number[] }
  | { readonly op: 'again'; readonly to: number; readonly on: number }
  | { readonly op: 'end' };

/** A rule as steps; each goes on to the next unless it forks. */
export type Program = readonly Step[];

const pools = new WeakMap<Grammar, Map<string, Step>>();

/**
 * Gives each step of a grammar as one object, however often it is written: what may be said after a question
 * is all that may be said anyway and a little more, and written out it has 170,000 steps each time.
 */
function sharing(grammar: Grammar): (step: Step) => Step {
  const pool = pools.get(grammar) ?? new Map<string, Step>();
  pools.set(grammar, pool);
  return (step) => {
    const key = keyOf(step);
    const known = pool.get(key);
    if (known !== undefined) return known;
    pool.set(key, step);
    return step;
  };
}

const end: Step = { op: 'end' };

function keyOf(step: Step): string {
  switch (step.op) {
    case 'word':
      return `word ${step.word}`;
    case 'mark':
      return `${step.mark.is} ${step.mark.is === 'tag' ? step.mark.text : step.mark.rule}`;
    case 'fork':
      return `fork ${step.to.join()}`;
    case 'again':
      return `again ${step.to} ${step.on}`;
    case 'end':
      return 'end';
    default:
      return step satisfies never;
  }
}

/**
 * Compiles a rule, referred rules written in place.
 * @throws RangeError when the grammar has no such rule
 */
export function assemble(grammar: Grammar, name: string): Program {
  const steps: Step[] = [];
  const shared = sharing(grammar);
  const write = (e: Expansion): void => {
    switch (e.is) {
      case 'word':
        steps.push(shared({ op: 'word', word: e.word }));
        return;
      case 'tag':
        steps.push(shared({ op: 'mark', mark: { is: 'tag', text: e.text } }));
        return;
      case 'rule':
        enter(e.name);
        return;
      case 'sequence':
        e.parts.forEach(write);
        return;
      case 'choice':
        writeChoice(e.options);
        return;
      case 'optional': {
        const fork = reserve();
        write(e.part);
        steps[fork] = shared({ op: 'fork', to: [1, steps.length - fork] });
        return;
      }
      case 'repeat': {
        const fork = e.least === 0 ? reserve() : undefined;
        const start = steps.length;
        write(e.part);
        steps.push(shared({ op: 'again', to: start - steps.length, on: 1 }));
        // Entering is a wordless arc too: otherwise every place a repetition may begin would get a
        // copy of all its beginnings.
        if (fork !== undefined) {
          steps[fork] = shared({ op: 'again', to: start - fork, on: steps.length - fork });
        }
        return;
      }
      default:
        e satisfies never;
    }
  };
  const enter = (rule: string): void => {
    steps.push(shared({ op: 'mark', mark: { is: 'enter', rule } }));
    write(ruleOf(grammar, rule).body);
    steps.push(shared({ op: 'mark', mark: { is: 'leave', rule } }));
  };
  const reserve = (): number => steps.push(end) - 1;
  const writeChoice = (options: readonly Expansion[]): void => {
    const fork = reserve();
    const starts: number[] = [];
    const exits: number[] = [];
    for (const option of options) {
      starts.push(steps.length - fork);
      write(option);
      exits.push(reserve());
    }
    steps[fork] = shared({ op: 'fork', to: starts });
    for (const exit of exits) steps[exit] = shared({ op: 'fork', to: [steps.length - exit] });
  };
  enter(name);
  steps.push(end);
  // A copy has no room to grow.
  return steps.slice();
}
