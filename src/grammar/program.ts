import type { Expansion, Grammar } from './ast.ts';
import { ruleOf } from './link.ts';

/** Something met on the way through a sentence that takes no word itself. */
export type Mark =
  | { readonly is: 'tag'; readonly text: string }
  | { readonly is: 'enter' | 'leave'; readonly rule: string };

/**
 * One step of the little machine a rule is compiled to. `again` is the way back of a repetition,
 * told apart from other forks so that a network can keep it as a wordless arc instead of unrolling
 * every sentence into the beginning of the next.
 */
export type Step =
  | { readonly op: 'word'; readonly word: string }
  | { readonly op: 'mark'; readonly mark: Mark }
  | { readonly op: 'fork'; readonly to: readonly number[] }
  | { readonly op: 'again'; readonly to: number; readonly on: number }
  | { readonly op: 'end' };

/** A rule as steps; each goes on to the next unless it forks. */
export type Program = readonly Step[];

/**
 * Compiles a rule, referred rules written in place.
 * @throws RangeError when the grammar has no such rule
 */
export function assemble(grammar: Grammar, name: string): Program {
  const steps: Step[] = [];
  const write = (e: Expansion): void => {
    switch (e.is) {
      case 'word':
        steps.push({ op: 'word', word: e.word });
        return;
      case 'tag':
        steps.push({ op: 'mark', mark: { is: 'tag', text: e.text } });
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
        steps[fork] = { op: 'fork', to: [fork + 1, steps.length] };
        return;
      }
      case 'repeat': {
        const fork = e.least === 0 ? reserve() : undefined;
        const start = steps.length;
        write(e.part);
        steps.push({ op: 'again', to: start, on: steps.length + 1 });
        // Entering is a wordless arc too: otherwise every place a repetition may begin would get a
        // copy of all its beginnings.
        if (fork !== undefined) steps[fork] = { op: 'again', to: start, on: steps.length };
        return;
      }
      default:
        e satisfies never;
    }
  };
  const enter = (rule: string): void => {
    steps.push({ op: 'mark', mark: { is: 'enter', rule } });
    write(ruleOf(grammar, rule).body);
    steps.push({ op: 'mark', mark: { is: 'leave', rule } });
  };
  const reserve = (): number => steps.push({ op: 'end' }) - 1;
  const writeChoice = (options: readonly Expansion[]): void => {
    const fork = reserve();
    const starts: number[] = [];
    const exits: number[] = [];
    for (const option of options) {
      starts.push(steps.length);
      write(option);
      exits.push(reserve());
    }
    steps[fork] = { op: 'fork', to: starts };
    for (const exit of exits) steps[exit] = { op: 'fork', to: [steps.length] };
  };
  enter(name);
  steps.push({ op: 'end' });
  return steps;
}
