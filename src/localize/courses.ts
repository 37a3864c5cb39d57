import { brainCourses, cerebellarCourses } from './brain.ts';
import { conusCourses } from './conus.ts';
import { cordCourses } from './cord.ts';
import type { Course } from './course.ts';
import { intact } from './damage.ts';
import {
  demyelinatingCourses,
  lengthDependentCourses,
  musclesCourses,
  postsynapticCourses,
  presynapticCourses,
  systemicCourses,
} from './diffuse.ts';
import type { Lesion } from './lesion.ts';
import { anteriorHornCourses, motorNeuronCourses } from './neuron.ts';
import { caudaCourses, cutCourses } from './peripheral.ts';

/** Every way a lesion may run. */
export function coursesOf(lesion: Lesion): readonly Course[] {
  const { focus } = lesion;
  switch (focus.group) {
    case 'no-lesion':
      return [{ weight: 1, damage: intact }];
    case 'hemisphere':
    case 'internal-capsule':
    case 'brainstem':
      return brainCourses(lesion);
    case 'cerebellum':
      return cerebellarCourses(lesion);
    case 'cord':
      return cordCourses(lesion, focus.level, focus.pattern);
    case 'conus':
      return conusCourses();
    case 'cauda-equina':
      return caudaCourses(lesion);
    case 'motor-neuron':
      return motorNeuronCourses();
    case 'anterior-horn':
      return anteriorHornCourses(lesion);
    case 'root':
      return cutCourses(lesion, `root:${focus.level}`);
    case 'plexus':
      return cutCourses(lesion, `plexus:${focus.place}`);
    case 'nerve':
      return cutCourses(lesion, `nerve:${focus.place}`);
    case 'polyneuropathy':
      return focus.place === 'length-dependent' ? lengthDependentCourses() : demyelinatingCourses();
    case 'junction':
      return focus.place === 'postsynaptic' ? postsynapticCourses() : presynapticCourses();
    case 'muscle':
      return musclesCourses();
    case 'systemic':
      return systemicCourses[focus.place]();
  }
}
