import { testFiftySeeds } from './seeds.ts';

testFiftySeeds(1);
