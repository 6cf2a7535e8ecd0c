/** A room with a rod across the way from the port to the floor, to be passed on either side: the duct's arm in another job. */
export const roomJob = `withy: 1
name: Marl Quay, rod in a room
arm: arm.yaml
bodies:
  - name: port plate
    shape: plate
    size: [240 mm, 240 mm]
    thickness: 8 mm
    hole: 20 mm
    touch: free
  - name: cross rod
    shape: cylinder
    diameter: 12 mm
    length: 240 mm
    at: [2 mm, -120 mm, -110 mm]
    turn: [-90 deg, 0 deg, 0 deg]
    touch: free
  - name: floor
    shape: box
    size: [240 mm, 240 mm, 10 mm]
    at: [0 mm, 0 mm, -255 mm]
    touch: never
    stand-off: 2 mm
  - name: left wall
    shape: box
    size: [240 mm, 10 mm, 260 mm]
    at: [0 mm, -120 mm, -125 mm]
    touch: free
  - name: right wall
    shape: box
    size: [240 mm, 10 mm, 260 mm]
    at: [0 mm, 120 mm, -125 mm]
    touch: free
port:
  name: test port
  centre: [0 mm, 0 mm, 0 mm]
  axis: [0, 0, -1]
  bore: 20 mm
  wall: 8 mm
target:
  name: floor
  task: look
  place: [0 mm, 0 mm, -250 mm]
  aim: [0, 0, -1]
  cone: 35 deg
  stand-off: 30 mm .. 70 mm
  tolerance: 8 mm
limits:
  clearance: 2 mm
  sag: 40 mm
  twist: 30 deg
guide-length: 5 mm
`;
