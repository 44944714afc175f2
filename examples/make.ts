/*
 * Makes the example packets: four jobs of an invented body shop, as it would save them, one of them handed in twice.
 *
 *   node examples/make.ts            writes examples/packets/<name>/
 *   node examples/make.ts FOLDER     writes them there
 *
 * bumper-and-radar      nothing amiss
 * windshield-camera     last scan before the calibration drive; one VIN with a look-alike; a calibration charged, not recorded
 * windshield-camera-again  the same job, handed in again with these mended
 * suspension-and-angle  wheels aligned after the radar was aimed; a code left; an odometer that runs backwards
 * quick-drive           a drive of 90 seconds that stopped at 62 %, before the repair; no scan on arrival
 *
 * Shop, people, vehicles, makers and instruments are invented, and no layout is that of an existing instrument. Dates, ids
 * and the seeds of all noise are fixed, so the bytes come out the same every time; a test holds the committed files to that.
 */
import { mkdir, rm, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { bumperAndRadar } from './jobs/bumper-and-radar.ts'
import type { PacketFiles } from './jobs/packet.ts'
import { quickDrive } from './jobs/quick-drive.ts'
import { suspensionAndAngle } from './jobs/suspension-and-angle.ts'
import { windshieldCamera, windshieldCameraAgain } from './jobs/windshield-camera.ts'

const jobs: Record<string, () => Promise<PacketFiles>> = {
  'bumper-and-radar': bumperAndRadar,
  'windshield-camera': windshieldCamera,
  'windshield-camera-again': windshieldCameraAgain,
  'suspension-and-angle': suspensionAndAngle,
  'quick-drive': quickDrive,
}

/** Writes every packet into a folder of its name under `folder`, in place of what stood there. */
export async function makePackets(folder: string): Promise<void> {
  for (const [name, make] of Object.entries(jobs)) {
    const place = join(folder, name)
    await rm(place, { recursive: true, force: true })
    await mkdir(place, { recursive: true })
    for (const [file, content] of Object.entries(await make())) await writeFile(join(place, file), content)
  }
}

if (process.argv[1] === fileURLToPath(import.meta.url))
  await makePackets(process.argv[2] ?? fileURLToPath(new URL('./packets', import.meta.url)))
