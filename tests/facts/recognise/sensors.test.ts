/** The words that name sensors, positions, systems and methods. Common practice, no source. */
import { describe, expect, test } from 'vitest'
import { agreesInPosition } from '../../../src/facts/position.ts'
import { methodOf, positionOf, sensorOf, sensorsOf, systemOf } from '../../../src/facts/recognise/sensors.ts'
import { vocabulary } from '../shipped-vocabulary.ts'

test.each([
  ['Front radar', 'front-radar'],
  ['Long range radar sensor', 'front-radar'],
  ['Adaptive cruise control', 'front-radar'],
  ['Forward camera', 'front-camera'],
  ['Windscreen camera', 'front-camera'],
  ['Windshield Camera', 'front-camera'],
  ['Blind spot monitor, left', 'corner-radar'],
  ['Rear view camera', 'rear-camera'],
  ['Surround view cameras', 'surround-camera'],
  ['Park assist', 'ultrasonic'],
  ['Steering angle sensor', 'steering-angle'],
  ['Occupant classification system', 'occupant-classification'],
  ['Headlight levelling', 'headlamp'],
  ['Lidar', 'lidar'],
  ['Cámara delantera', 'front-camera'],
  ['Cámara del parabrisas', 'front-camera'],
  ['Radar frontal de largo alcance', 'front-radar'],
  ['Radares traseros de punto ciego', 'corner-radar'],
  ['Cámaras de visión perimetral', 'surround-camera'],
  ['Cámara de marcha atrás', 'rear-camera'],
  ['Sensor de ángulo de giro', 'steering-angle'],
  ['Sensores de aparcamiento', 'ultrasonic'],
  ['Clasificación de ocupantes', 'occupant-classification'],
])('sensor: %s', (text, sensor) => {
  expect(sensorOf(text, vocabulary)?.sensor).toBe(sensor)
})

test.each(['Engine control', 'Gateway', 'Menu of the week', ''])('no sensor: %s', (text) => {
  const found = sensorOf(text, vocabulary)
  expect(found?.sensor ?? 'other').toBe('other')
})

test('every sensor of a text, in order of mention, once', () => {
  expect(sensorsOf('Calibrate front camera, front radar and again the front camera', vocabulary)).toEqual([
    'front-camera',
    'front-radar',
  ])
})

test.each([
  ['Corner radar, rear left', 'corner-radar', 'rear left'],
  ['Corner radar LH', 'corner-radar', 'left'],
  ['Blind spot radars left and right', 'corner-radar', 'left and right'],
  ['Corner radar rear', 'corner-radar', null],
  ['Parking sensors, rear', 'ultrasonic', 'rear'],
  ['Front camera, left of the mirror', 'front-camera', null],
  ['Radar de esquina trasero derecho', 'corner-radar', 'rear right'],
  ['Radar lateral izq.', 'corner-radar', 'left'],
  ['Radares de esquina, lado der.', 'corner-radar', 'right'],
] as const)('position: %s', (text, sensor, position) => {
  expect(positionOf(text, sensor, vocabulary)).toBe(position)
})

describe('positions agree', () => {
  test.each([
    ['left', 'rear left', true],
    ['rear left', 'left', true],
    ['left', 'right', false],
    ['front left', 'rear left', false],
    ['left and right', 'right', true],
    [null, 'left', true],
    [undefined, undefined, true],
  ])('%s and %s: %s', (a, b, agree) => {
    expect(agreesInPosition(a, b)).toBe(agree)
    expect(agreesInPosition(b, a)).toBe(agree)
  })
})

test.each([
  ['Front radar', 'driver-assistance'],
  ['Brake control', 'brake'],
  ['ABS', 'brake'],
  ['Electric power steering', 'steering'],
  ['Steering angle sensor', 'steering'],
  ['Airbag', 'restraint'],
  ['Occupant classification', 'restraint'],
  ['Climate', 'other'],
  ['Headlamps', 'other'],
] as const)('system: %s', (name, system) => {
  expect(systemOf(name, vocabulary)).toBe(system)
})

test.each([
  ['Static', 'static'],
  ['Dynamic, on the road', 'dynamic'],
  ['with targets in the bay', 'static'],
  ['Dinámico', 'dynamic'],
  ['en carretera', 'dynamic'],
  ['con diana, en taller', 'static'],
  ['ajuste a cero', 'initialisation'],
  ['road learning', 'dynamic'],
  ['Initialisation', 'initialisation'],
  ['Static and dynamic', null],
  ['by hand', null],
] as const)('method: %s', (text, method) => {
  expect(methodOf(text, vocabulary)).toBe(method)
})
