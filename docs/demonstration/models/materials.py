"""What the parts are made of: materials for the renderer, made once by name."""

import bpy


def _nodes(name):
    material = bpy.data.materials.new(name)
    material.use_nodes = True
    nodes, links = material.node_tree.nodes, material.node_tree.links
    return material, nodes, links, nodes["Principled BSDF"]


def _noise(nodes, links, scale, detail=4.0, stretch=(1, 1, 1)):
    place = nodes.new("ShaderNodeTexCoord")
    mapping = nodes.new("ShaderNodeMapping")
    mapping.inputs["Scale"].default_value = stretch
    links.new(place.outputs["Object"], mapping.inputs["Vector"])
    noise = nodes.new("ShaderNodeTexNoise")
    noise.inputs["Scale"].default_value = scale
    noise.inputs["Detail"].default_value = detail
    links.new(mapping.outputs["Vector"], noise.inputs["Vector"])
    return noise


def _bump(nodes, links, shader, height, strength, distance=0.05, edge=0.0):
    bump = nodes.new("ShaderNodeBump")
    bump.inputs["Strength"].default_value = strength
    bump.inputs["Distance"].default_value = distance
    if height is not None:
        links.new(height, bump.inputs["Height"])
    if edge:
        bevel = nodes.new("ShaderNodeBevel")
        bevel.samples = 2
        bevel.inputs["Radius"].default_value = edge
        links.new(bevel.outputs["Normal"], bump.inputs["Normal"])
    links.new(bump.outputs["Normal"], shader.inputs["Normal"])


def _blend(nodes, links, factor, colours, at=(0.35, 0.65)):
    ramp = nodes.new("ShaderNodeValToRGB")
    for element, place, colour in zip(ramp.color_ramp.elements, at, colours, strict=True):
        element.position, element.color = place, (*colour, 1)
    links.new(factor, ramp.inputs["Fac"])
    return ramp.outputs["Color"]


def _rough(name, colours, scale, roughness, metallic=0.0, strength=0.5, edge=0.0, distance=0.05, detail=2.0):
    """Something with a grain: a casting's skin, sand, paint, earth."""
    material, nodes, links, shader = _nodes(name)
    noise = _noise(nodes, links, scale, detail)
    links.new(_blend(nodes, links, noise.outputs["Fac"], colours), shader.inputs["Base Color"])
    shader.inputs["Roughness"].default_value = roughness
    shader.inputs["Metallic"].default_value = metallic
    _bump(nodes, links, shader, noise.outputs["Fac"], strength, distance, edge)
    return material


def _turned(name, colour, roughness, lines=34.0, strength=0.08, anisotropic=0.6):
    """Metal from the lathe: fine lines round the object's own Z, and the fan of light that they make."""
    material, nodes, links, shader = _nodes(name)
    shader.inputs["Base Color"].default_value = (*colour, 1)
    shader.inputs["Metallic"].default_value = 1.0
    shader.inputs["Roughness"].default_value = roughness
    shader.inputs["Anisotropic"].default_value = anisotropic
    tangent = nodes.new("ShaderNodeTangent")
    tangent.direction_type, tangent.axis = "RADIAL", "Z"
    links.new(tangent.outputs["Tangent"], shader.inputs["Tangent"])
    place = nodes.new("ShaderNodeTexCoord")
    heights = []
    for kind in ("BANDS", "RINGS"):
        wave = nodes.new("ShaderNodeTexWave")
        wave.wave_type = kind
        setattr(wave, f"{kind.lower()}_direction", "Z")
        wave.inputs["Scale"].default_value = lines
        links.new(place.outputs["Object"], wave.inputs["Vector"])
        heights.append(wave.outputs["Fac"])
    total = nodes.new("ShaderNodeMath")
    for put, height in zip(total.inputs, heights, strict=False):
        links.new(height, put)
    _bump(nodes, links, shader, total.outputs["Value"], strength, 0.004)
    return material


def _plain(name, colour, roughness, metallic=0.0, **more):
    material, _, _, shader = _nodes(name)
    shader.inputs["Base Color"].default_value = (*colour, 1)
    shader.inputs["Roughness"].default_value = roughness
    shader.inputs["Metallic"].default_value = metallic
    for put, value in more.items():
        shader.inputs[put.replace("_", " ")].default_value = value
    return material


def _wood(name, colours, along="X", scale=2.2, roughness=0.55, coat=0.0):
    material, nodes, links, shader = _nodes(name)
    stretch = {"X": (0.10, 1.6, 1.6), "Y": (1.6, 0.10, 1.6), "Z": (1.6, 1.6, 0.10)}[along]
    grain = _noise(nodes, links, scale, 3.0, stretch)
    grain.inputs["Distortion"].default_value = 0.8
    links.new(_blend(nodes, links, grain.outputs["Fac"], colours), shader.inputs["Base Color"])
    shader.inputs["Roughness"].default_value = roughness
    shader.inputs["Coat Weight"].default_value = coat
    _bump(nodes, links, shader, grain.outputs["Fac"], 0.25, 0.02)
    return material


def _glow(name, colour, strength):
    material, _, _, shader = _nodes(name)
    shader.inputs["Base Color"].default_value = (*colour, 1)
    shader.inputs["Emission Color"].default_value = (*colour, 1)
    shader.inputs["Emission Strength"].default_value = strength
    return material


MAKERS = {
    "cast iron": lambda n: _rough(n, ((0.045, 0.043, 0.042), (0.10, 0.095, 0.09)), 9, 0.62, 0.55, 0.5, 0.07),
    "fresh casting": lambda n: _rough(n, ((0.07, 0.062, 0.055), (0.17, 0.15, 0.13)), 12, 0.78, 0.3, 0.9, 0.09, 0.08),
    "rusty iron": lambda n: _rough(n, ((0.075, 0.05, 0.04), (0.17, 0.08, 0.045)), 5, 0.8, 0.2, 0.6, 0.06, 0.05, 4),
    "iron": lambda n: _turned(n, (0.40, 0.395, 0.39), 0.34),
    "bored iron": lambda n: _turned(n, (0.46, 0.455, 0.45), 0.26, 60, 0.05, 0.4),
    "steel": lambda n: _turned(n, (0.58, 0.575, 0.57), 0.24, 60, 0.04),
    "ground steel": lambda n: _turned(n, (0.64, 0.64, 0.64), 0.2, 80, 0.02, 0.4),
    "black steel": lambda n: _rough(n, ((0.03, 0.03, 0.032), (0.06, 0.06, 0.062)), 14, 0.42, 0.8, 0.2, 0.03),
    "bronze": lambda n: _turned(n, (0.66, 0.40, 0.19), 0.26),
    "brass": lambda n: _turned(n, (0.78, 0.58, 0.24), 0.2, 50, 0.03),
    "copper": lambda n: _plain(n, (0.85, 0.42, 0.27), 0.32, 1.0),
    "aluminium": lambda n: _turned(n, (0.80, 0.80, 0.81), 0.27, 40, 0.06),
    "cast aluminium": lambda n: _rough(n, ((0.5, 0.5, 0.5), (0.66, 0.66, 0.66)), 14, 0.55, 0.85, 0.6, 0.06),
    "white metal": lambda n: _turned(n, (0.74, 0.73, 0.70), 0.36, 26, 0.08, 0.3),
    "cast white metal": lambda n: _rough(n, ((0.5, 0.5, 0.49), (0.7, 0.7, 0.68)), 5, 0.42, 0.9, 0.3, 0.05),
    "blue paint": lambda n: _rough(n, ((0.035, 0.065, 0.085), (0.05, 0.085, 0.11)), 7, 0.42, 0.0, 0.22, 0.09),
    "green paint": lambda n: _rough(n, ((0.035, 0.07, 0.035), (0.055, 0.095, 0.05)), 6, 0.48, 0.0, 0.25, 0.08),
    "red paint": lambda n: _rough(n, ((0.22, 0.03, 0.02), (0.27, 0.045, 0.03)), 7, 0.45, 0.0, 0.2, 0.06),
    "grey paint": lambda n: _rough(n, ((0.14, 0.15, 0.155), (0.18, 0.19, 0.195)), 7, 0.45, 0.0, 0.2, 0.06),
    "bench": lambda n: _wood(n, ((0.085, 0.045, 0.022), (0.20, 0.115, 0.06)), "X"),
    "boards": lambda n: _wood(n, ((0.06, 0.045, 0.035), (0.12, 0.095, 0.075)), "Z", 1.4, 0.8),
    "oak": lambda n: _wood(n, ((0.16, 0.095, 0.045), (0.30, 0.19, 0.10)), "X", 2.5),
    "pine": lambda n: _wood(n, ((0.48, 0.31, 0.15), (0.62, 0.43, 0.23)), "X", 2.0, 0.5),
    "pattern": lambda n: _wood(n, ((0.36, 0.13, 0.05), (0.47, 0.19, 0.08)), "Z", 2.0, 0.32, 0.6),
    "core print": lambda n: _plain(n, (0.02, 0.02, 0.022), 0.35),
    "sand": lambda n: _rough(n, ((0.10, 0.065, 0.04), (0.22, 0.15, 0.095)), 5, 0.95, 0.0, 1.0, 0.0, 0.25, 4),
    "core sand": lambda n: _rough(n, ((0.42, 0.31, 0.19), (0.56, 0.43, 0.28)), 30, 0.95, 0.0, 0.8, 0.05, 0.05, 4),
    "plaster": lambda n: _rough(n, ((0.30, 0.29, 0.27), (0.37, 0.36, 0.34)), 0.6, 0.9, 0.0, 0.2),
    "concrete": lambda n: _rough(n, ((0.22, 0.21, 0.20), (0.31, 0.30, 0.29)), 1.2, 0.85, 0.0, 0.35),
    "grass": lambda n: _rough(n, ((0.05, 0.055, 0.02), (0.13, 0.13, 0.05)), 2, 0.95, 0.0, 1.0, 0.0, 0.8, 5),
    "snow": lambda n: _rough(n, ((0.7, 0.73, 0.78), (0.85, 0.87, 0.9)), 0.7, 0.8, 0.0, 0.5, 0.0, 0.3),
    "granite": lambda n: _rough(n, ((0.018, 0.018, 0.02), (0.07, 0.07, 0.075)), 40, 0.22, 0.0, 0.02),
    "dial": lambda n: _plain(n, (0.86, 0.85, 0.81), 0.35),
    "paper": lambda n: _plain(n, (0.80, 0.77, 0.70), 0.8),
    "cloth": lambda n: _rough(n, ((0.30, 0.10, 0.07), (0.42, 0.16, 0.11)), 40, 0.95, 0.0, 0.6),
    "rubber": lambda n: _plain(n, (0.018, 0.018, 0.018), 0.6),
    "blueing": lambda n: _plain(n, (0.015, 0.045, 0.30), 0.4),
    "chalk": lambda n: _plain(n, (0.8, 0.8, 0.78), 0.95),
    "oil": lambda n: _plain(n, (0.16, 0.09, 0.02), 0.05, 0.0, Transmission_Weight=0.5, IOR=1.47),
    "water": lambda n: _plain(n, (0.85, 0.93, 0.95), 0.02, 0.0, Transmission_Weight=0.9, IOR=1.33),
    "glass": lambda n: _plain(n, (0.95, 0.97, 0.96), 0.02, 0.0, Transmission_Weight=1.0, IOR=1.3),
    "molten iron": lambda n: _glow(n, (1.0, 0.36, 0.06), 9.0),
    "red heat": lambda n: _glow(n, (1.0, 0.12, 0.02), 1.6),
    "clay": lambda n: _plain(n, (0.40, 0.385, 0.36), 0.75),
    "cut face": lambda n: _plain(n, (0.36, 0.07, 0.035), 0.7),
    "cut face 2": lambda n: _plain(n, (0.66, 0.40, 0.10), 0.7),
    "cut face 3": lambda n: _plain(n, (0.10, 0.22, 0.36), 0.7),
    "arrow": lambda n: _plain(n, (0.75, 0.05, 0.02), 0.6),
    "daylight": lambda n: _glow(n, (0.78, 0.88, 1.0), 4.0),
}


def material(name):
    return bpy.data.materials.get(name) or MAKERS[name](name)
