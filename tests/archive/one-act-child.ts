/** Does one act in a process of its own, which its parent keeps short of room or rights, and writes what it was told. */
import { type ActName, openAndDo } from './one-act.ts'

const [, , place = '', act = ''] = process.argv
process.stdout.write(JSON.stringify(await openAndDo(place, act as ActName)))
