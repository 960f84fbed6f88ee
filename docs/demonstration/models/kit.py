# ruff: noqa: I001 (bmesh is there once bpy is)
"""Shapes, placing, light, camera and the rendering itself. One unit is one inch; Z points up."""

import math

import bpy
import bmesh
from materials import material
from mathutils import Matrix, Vector

ROUND = 96
SMOOTH = math.radians(34)  # edges flatter than this are shaded as one surface
PICTURE = (960, 640)
FILM = (960, 540)
AXES = {"Z": Matrix(), "X": Matrix.Rotation(math.pi / 2, 4, "Y"), "Y": Matrix.Rotation(-math.pi / 2, 4, "X")}


def fresh_scene():
    bpy.ops.wm.read_factory_settings(use_empty=True)


def _object(mesh_name, shape, axis, at, materials, smooth=SMOOTH):
    """The bmesh as an object whose own Z lies along `axis` of the scene."""
    bmesh.ops.recalc_face_normals(shape, faces=shape.faces)
    for face in shape.faces:
        face.smooth = True
    for edge in shape.edges:
        edge.smooth = len(edge.link_faces) == 2 and edge.calc_face_angle(0) < smooth
    mesh = bpy.data.meshes.new(mesh_name)
    shape.to_mesh(mesh)
    shape.free()
    thing = bpy.data.objects.new(mesh_name, mesh)
    for name in [materials] if isinstance(materials, str) else materials:
        mesh.materials.append(material(name))
    thing.matrix_world = Matrix.Translation(at) @ AXES[axis]
    bpy.context.scene.collection.objects.link(thing)
    return thing


def lathe(points, of="iron", axis="Z", at=(0, 0, 0), closed=True, sectors=ROUND):
    """Turn (radius, height) points round the axis; `of` is one material, or one for each side of the outline."""
    shape = bmesh.new()
    names = [of] * len(points) if isinstance(of, str) else list(of)
    kinds = list(dict.fromkeys(names))
    rings = []
    for radius, height in points:
        if radius < 1e-6:
            rings.append([shape.verts.new((0, 0, height))])
            continue
        turn = [2 * math.pi * step / sectors for step in range(sectors)]
        rings.append([shape.verts.new((radius * math.cos(a), radius * math.sin(a), height)) for a in turn])
    sides = len(points) if closed else len(points) - 1
    for side in range(sides):
        low, high = rings[side], rings[(side + 1) % len(points)]
        if len(low) == 1 and len(high) == 1:
            continue
        for step in range(sectors):
            after = (step + 1) % sectors
            corners = [low[step % len(low)], low[after % len(low)], high[after % len(high)], high[step % len(high)]]
            face = shape.faces.new(list(dict.fromkeys(corners)))
            face.material_index = kinds.index(names[side])
    return _object("lathe", shape, axis, at, kinds)


def rod(radius, low, high, of="steel", axis="Z", at=(0, 0, 0), edge=None, hole=0.0):
    """A round bar from `low` to `high` along the axis, its edges broken; with a hole it is a tube."""
    edge = min(radius * 0.06, 0.05) if edge is None else edge
    outside = [(radius - edge, low), (radius, low + edge), (radius, high - edge), (radius - edge, high)]
    return lathe([(hole, low), *outside, (hole, high)], of, axis, at)


def prism(outline, low, high, of="cast iron", axis="Z", at=(0, 0, 0), edge=0.0):
    """Pull a plane outline of (x, y) along the axis."""
    shape = bmesh.new()
    bottom = [shape.verts.new((x, y, low)) for x, y in outline]
    top = [shape.verts.new((x, y, high)) for x, y in outline]
    shape.faces.new(bottom)
    shape.faces.new(top)
    for here in range(len(outline)):
        after = (here + 1) % len(outline)
        shape.faces.new((bottom[here], bottom[after], top[after], top[here]))
    bmesh.ops.recalc_face_normals(shape, faces=shape.faces)
    if edge:
        sharp = [e for e in shape.edges if e.calc_face_angle(0) > math.radians(40)]
        bmesh.ops.bevel(shape, geom=sharp, offset=edge, segments=3, profile=0.5, affect="EDGES")
    return _object("prism", shape, axis, at, of)


def box(low, high, of="cast iron", edge=0.0):
    """A block between two corners."""
    (x0, y0, z0), (x1, y1, z1) = low, high
    middle = ((x0 + x1) / 2, (y0 + y1) / 2, 0)
    x, y = (x1 - x0) / 2, (y1 - y0) / 2
    return prism([(-x, -y), (x, -y), (x, y), (-x, y)], z0, z1, of, at=middle, edge=edge)


def rounded(width, depth, radius, steps=8):
    """Outline of a rectangle with round corners, about its middle."""
    corners = [(1, 1), (-1, 1), (-1, -1), (1, -1)]
    outline = []
    for quarter, (sx, sy) in enumerate(corners):
        for step in range(steps + 1):
            a = math.pi / 2 * (quarter + step / steps)
            outline.append(
                (
                    sx * (width / 2 - radius) + radius * math.cos(a),
                    sy * (depth / 2 - radius) + radius * math.sin(a),
                )
            )
    return outline


def circle(radius, sides=48, start=0.0):
    return [
        (radius * math.cos(start + 2 * math.pi * k / sides), radius * math.sin(start + 2 * math.pi * k / sides))
        for k in range(sides)
    ]


def cut(thing, *tools, keep=False):
    """Take the tools' shapes out of the thing; what is cut shows the tool's material."""
    return _combine(thing, tools, "DIFFERENCE", keep)


def weld(thing, *others):
    return _combine(thing, others, "UNION", False)


def _combine(thing, tools, operation, keep):
    for tool in tools:
        step = thing.modifiers.new("step", "BOOLEAN")
        step.object, step.operation, step.solver, step.material_mode = tool, operation, "EXACT", "TRANSFER"
    view = bpy.context.view_layer
    view.update()
    mesh = bpy.data.meshes.new_from_object(thing.evaluated_get(bpy.context.evaluated_depsgraph_get()))
    thing.modifiers.clear()
    thing.data = mesh
    if not keep:
        for tool in tools:
            bpy.data.objects.remove(tool)
    shape = bmesh.new()
    shape.from_mesh(mesh)
    for face in shape.faces:
        face.smooth = True
    for edge in shape.edges:
        edge.smooth = len(edge.link_faces) == 2 and edge.calc_face_angle(0) < SMOOTH
    shape.to_mesh(mesh)
    shape.free()
    return thing


def pipe(path, radius, of="steel", closed=False, section=None, smooth=True):
    """Sweep a circle (or an outline) along points; smooth runs a curve through them."""
    curve = bpy.data.curves.new("pipe", "CURVE")
    curve.dimensions, curve.resolution_u, curve.bevel_resolution = "3D", 8, 6
    curve.use_fill_caps = True
    line = curve.splines.new("NURBS" if smooth else "POLY")
    line.points.add(len(path) - 1)
    for point, place in zip(line.points, path, strict=True):
        point.co = (*place, 1)
    line.use_cyclic_u = closed
    if smooth:
        line.order_u, line.use_endpoint_u = min(3, len(path)), True
    if section:
        around = bpy.data.curves.new("section", "CURVE")
        around.dimensions = "2D"
        ring = around.splines.new("POLY")
        ring.points.add(len(section) - 1)
        for point, (x, y) in zip(ring.points, section, strict=True):
            point.co = (x, y, 0, 1)
        ring.use_cyclic_u = True
        holder = bpy.data.objects.new("section", around)
        bpy.context.scene.collection.objects.link(holder)
        holder.hide_render = True
        curve.bevel_mode, curve.bevel_object = "OBJECT", holder
    else:
        curve.bevel_depth = radius
    curve.materials.append(material(of))
    thing = bpy.data.objects.new("pipe", curve)
    bpy.context.scene.collection.objects.link(thing)
    return thing


def coil(radius, low, high, turns, wire, of="steel", axis="Z", at=(0, 0, 0)):
    steps = int(turns * 16)
    path = []
    for step in range(steps + 1):
        a = 2 * math.pi * turns * step / steps
        path.append((radius * math.cos(a), radius * math.sin(a), low + (high - low) * step / steps))
    thing = pipe(path, wire, of, smooth=False)
    thing.matrix_world = Matrix.Translation(at) @ AXES[axis]
    return thing


def hexagon(across, low, high, of="black steel", axis="Z", at=(0, 0, 0)):
    nut = prism(circle(across / math.sqrt(3), 6), low, high, of, axis, at)
    return nut


def stud(radius, low, high, axis="Z", at=(0, 0, 0), nut=None, of="steel"):
    """A threaded bar, drawn with rings for its thread; `nut` is the height where a nut starts."""
    pitch = radius * 0.32
    points, height = [(0, low)], low
    while height + pitch <= high:
        points += [(radius * 0.88, height), (radius, height + pitch / 2)]
        height += pitch
    points += [(radius * 0.8, high), (0, high)]
    things = [lathe(points, of, axis, at, closed=False, sectors=32)]
    if nut is not None:
        things.append(hexagon(radius * 3.0, nut + 0.06, nut + radius * 2, "black steel", axis, at))
        things.append(rod(radius * 2.1, nut, nut + 0.06, "steel", axis, at, 0.01))
    return things


def gear(teeth, pitch_radius, low, high, of="iron", axis="Z", at=(0, 0, 0), hole=0.0):
    tooth = pitch_radius * 2 / teeth
    outline = []
    for count in range(teeth):
        for share, radius in (
            (-0.36, pitch_radius - 1.2 * tooth),
            (-0.14, pitch_radius + tooth),
            (0.14, pitch_radius + tooth),
            (0.36, pitch_radius - 1.2 * tooth),
        ):
            a = 2 * math.pi * (count + share) / teeth
            outline.append((radius * math.cos(a), radius * math.sin(a)))
    wheel = prism(outline, low, high, of, axis, at)
    return cut(wheel, rod(hole, low - 1, high + 1, of, axis, at, 0)) if hole else wheel


def together(*things):
    """Put things under one handle, to be moved as one."""
    handle = bpy.data.objects.new("group", None)
    bpy.context.scene.collection.objects.link(handle)
    for thing in flat(things):
        thing.parent = handle
    return handle


def flat(things):
    for thing in things:
        if isinstance(thing, list | tuple):
            yield from flat(thing)
        elif thing is not None:
            yield thing


def place(thing, at=(0, 0, 0), turn=(0, 0, 0), size=1.0):
    """Move a group: turned about X, then Y, then Z (degrees), then carried to `at`."""
    x, y, z = (math.radians(a) for a in turn)
    spin = Matrix.Rotation(z, 4, "Z") @ Matrix.Rotation(y, 4, "Y") @ Matrix.Rotation(x, 4, "X")
    thing.matrix_world = Matrix.Translation(at) @ spin @ Matrix.Scale(size, 4) @ thing.matrix_world
    bpy.context.view_layer.update()
    return thing


def parts_of(thing):
    return [part for part in [thing, *thing.children_recursive] if part.type in ("MESH", "CURVE")]


def paint(thing, name):
    """Give a whole group one material."""
    for part in parts_of(thing):
        part.data.materials.clear()
        part.data.materials.append(material(name))
        if part.type == "MESH":
            part.data.polygons.foreach_set("material_index", [0] * len(part.data.polygons))
    return thing


def section(thing, low, high, face="cut face"):
    """Cut a block out of a whole group, to look inside; the cut faces show in their own colour."""
    bpy.context.view_layer.update()
    for part in parts_of(thing):
        if part.type == "MESH":
            cut(part, box(low, high, face))
    return thing


def arrow(start, end, thick=0.12, of="arrow"):
    """A round arrow between two points."""
    reach = (Vector(end) - Vector(start)).length
    point = min(thick * 4.5, reach * 0.5)
    outline = [(0, 0), (thick, 0), (thick, reach - point), (thick * 2.4, reach - point), (0, reach)]
    thing = lathe(outline, of, closed=False, sectors=32)
    turn = (Vector(end) - Vector(start)).to_track_quat("Z", "Y").to_matrix().to_4x4()
    thing.matrix_world = Matrix.Translation(start) @ turn
    return thing


def _aim(thing, eye, target):
    thing.location = eye
    thing.rotation_euler = (Vector(target) - Vector(eye)).to_track_quat("-Z", "Y").to_euler()
    bpy.context.scene.collection.objects.link(thing)


def lamp(eye, target, size, power, colour=(1, 1, 1)):
    light = bpy.data.lights.new("lamp", "AREA")
    light.shape, light.size, light.energy, light.color = "DISK", size, power, colour
    _aim(bpy.data.objects.new("lamp", light), eye, target)


def light(middle=(0, 0, 0), reach=20.0, key=1.0, warm=1.0, sky=0.42):
    """A window on the left, a lamp behind on the right, and some light from all round."""
    mx, my, mz = middle
    strength = reach * reach * 9
    lamp((mx - reach, my - 0.7 * reach, mz + 1.1 * reach), middle, reach * 0.9, strength * key, (0.93, 0.97, 1.0))
    lamp(
        (mx + 1.1 * reach, my + 0.7 * reach, mz + 0.8 * reach),
        middle,
        reach * 0.4,
        strength * 0.5 * warm,
        (1, 0.8, 0.58),
    )
    lamp((mx + 0.4 * reach, my - 1.4 * reach, mz + 0.5 * reach), middle, reach * 0.7, strength * 0.18, (1, 0.95, 0.9))
    world = bpy.data.worlds.new("world")
    bpy.context.scene.world = world
    world.use_nodes = True
    back = world.node_tree.nodes["Background"]
    back.inputs["Color"].default_value = (0.55, 0.6, 0.68, 1)
    back.inputs["Strength"].default_value = sky


def camera(eye, target, lens=50.0, sharp_at=None, stop=None):
    """`stop` opens the lens (a small number blurs more); without it all is sharp."""
    seen = bpy.data.cameras.new("camera")
    seen.lens = lens
    seen.clip_end = 2000
    if stop:
        seen.dof.use_dof = True
        seen.dof.focus_distance = (Vector(sharp_at or target) - Vector(eye)).length
        # The scene is in inches: one unit is taken as 25.4 mm, so the stop is brought to it.
        seen.dof.aperture_fstop = stop / 25.4
    holder = bpy.data.objects.new("camera", seen)
    _aim(holder, eye, target)
    bpy.context.scene.camera = holder


def render(path, width, height, samples=6):
    scene = bpy.context.scene
    scene.render.engine = "CYCLES"
    cycles = scene.cycles
    cycles.device, cycles.samples, cycles.seed = "CPU", samples, 7
    cycles.use_adaptive_sampling, cycles.adaptive_threshold = True, 0.03
    cycles.use_denoising, cycles.denoiser = True, "OPENIMAGEDENOISE"
    cycles.max_bounces, cycles.diffuse_bounces, cycles.glossy_bounces = 4, 1, 3
    cycles.use_fast_gi, cycles.ao_bounces_render = True, 1
    world_light = scene.world.light_settings
    world_light.ao_factor, world_light.distance = 0.5, 30
    cycles.use_light_tree = False
    cycles.denoising_prefilter = "FAST"
    cycles.caustics_reflective = cycles.caustics_refractive = False
    cycles.sample_clamp_indirect = 4
    scene.view_settings.view_transform = "AgX"
    scene.view_settings.look = "AgX - Medium High Contrast"
    scene.view_settings.exposure = 1.2
    scene.render.resolution_x, scene.render.resolution_y = width, height
    scene.render.image_settings.file_format = "PNG"
    scene.render.filepath = str(path)
    bpy.ops.render.render(write_still=True)
