"""Heads and words of a spreadsheet as Spanish-speaking crews write them; accents are not looked at."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping

HEADS: Mapping[str, str] = {  # columns of a trial's sheet; names apart by upright strokes
    "colony": "colmena|colonia|placa|placa de la colmena|numero de colmena|no de colmena|numero|num|"
    "identificacion",
    "yard": "apiario|colmenar|sitio|lugar|nombre del apiario|rancho",
    "arm": "grupo|alimentada|alimentadas|alimento|alimentacion|tratamiento|"
    "con o sin alimento|testigo o alimento",
    "baseline": "cuadros antes|antes|inicio|inicial|cuadros al inicio|cuadros al principio|primer conteo|"
    "conteo inicial",
    "end": "cuadros despues|despues|final|fin|cuadros al final|cuadros|cuadros con abejas|cuadros de abejas|"
    "ultimo conteo|conteo final",
    "status": "que fue|que fue de ella|estado|estatus|que paso|situacion|estado final",
    "block": "bloque|juego|pareja|par",
    "grader": "quien|quien conto|contado por|clasificado por|clasifico|observador",
    "date": "fecha|dia|fecha del conteo|contado el",
    "visit": "visita|numero de visita|no de visita|ronda|inspeccion|revision",
    "again": "otra vez|segunda lectura|segundo conteo|de nuevo",
    "guess": "adivinado|grupo adivinado|que se adivino",
    "into": "unida a|unida con|se unio a|se unio con",
    "taken": "cuadros quitados|cuadros sacados|abejas quitadas",
    "row": "fila|hilera",
    "place": "puesto|posicion|lugar en la fila",
    "queen": "reina|linea|linea de reina",
    "box": "cajon|tamano del cajon|tamano del cuadro|profundidad",
    "frame": "numero de cuadro|no de cuadro|panal",
    "brood": "cria|cuadros con cria|cuadros de cria|cria despues|cria al final",
    "brood before": "cria antes|cuadros con cria antes|cria al inicio",
    "weight": "peso|peso de la colmena|peso despues|peso al final",
    "weight before": "peso antes|peso de la colmena antes|peso al inicio",
    "honey taken": "miel cosechada|miel sacada|cosecha|cosecha de miel",
    "eaten": "alimento comido|comido|consumo|torta comida",
}
HONEY = "miel"  # beside frames it is what was taken, as with "honey"
ENDS: Mapping[str, str] = {  # by the word that is kept
    "graded": "clasificada|contada|viva|vivas|vivo|bien|con reina",
    "dead": "muerta|muerto|murio|muertas",
    "absconded": "ida|se fue|fugada|enjambrada y vacia|abandono la colmena",
    "below one frame": "con menos de un cuadro|menos de un cuadro|menos de 1 cuadro",
    "merged into another": "unida|unido|fusionada|unida a otra",
    "received another": "recibio otra|recibio|recibio a otra",
    "requeened": "con reina nueva|reina nueva|cambio de reina",
    "robbed": "pillada|con pillaje|pillaje",
    "rescued": "rescatada|rescatado",
    "split, or bees taken": "dividida|dividido|division|dividida o se le quitaron abejas|"
    "se le quitaron abejas|se le sacaron abejas",
    "sold": "vendida|vendido",
    "stolen": "robada|robado|hurtada",
    "moved away": "movida|movido|trasladada",
    "not found": "no encontrada|no se encontro|no esta|extraviada",
}
CHECK = (
    "testigo|testigos|sin alimento|sin alimentar|no alimentada|no alimentadas|control|nada|sin|ninguno|falso"
)
FED = "con alimento|alimentada|alimentadas|alimentado|si|s|con|torta|tortas|tratada|tratamiento|verdadero"
SHEET: Mapping[str, str] = {  # what a sheet that is brought in can hold
    "yard": "apiario|colmenar|sitio|nombre del apiario|rancho",
    "colony": "colmena|colonia|placa|numero de colmena|no de colmena|numero",
    "name": "nombre|nombre del apiario|apiario",
    "latitude": "latitud|lat",
    "longitude": "longitud|lon",
    "colonies": "colmenas|colonias|numero de colmenas|no de colmenas|numero de colonias",
    "country": "pais",
    "region": "region|estado|municipio|provincia|departamento|zona",
    "colonies_in_flight_range": "todas las colonias a menos de 2 km|colonias a menos de 2 km|vecinas",
    "place": "lugar|puesto|posicion|tarima",
    "walk": "orden|orden de recorrido|recorrido|fila|hilera",
    "day": "fecha|dia|fecha de visita|fecha de la visita|fecha de revision|revisado el|revisada el",
    "frames_of_bees": "cuadros con abejas|cuadros de abejas|cuadros|abejas|fuerza",
    "frames_of_brood": "cuadros con cria|cuadros de cria|cria",
    "bread": "pan de abeja|pan de abejas|pan|polen|cuadros con polen|cuadros de polen|polen guardado",
    "mites_per_100": "acaros|acaros por 100|acaros por 100 abejas|varroa|lavado|lavado con alcohol",
    "queen_status": "reina",
    "weight": "peso|peso de la colmena|bascula",
    "patty_left": "torta que queda|torta restante|sobra|sobrante|queda de torta|resto de torta",
    "put_on": "alimento puesto|torta puesta|alimento|torta|tortas|se puso|puesto",
    "honey": "miel|reservas|reservas de miel",
    "pollen_seen": "polen que entra|polen entrando|entrada de polen",
    "maggots_seen": "larvas de escarabajo|larvas del escarabajo",
    "beetles_seen": "escarabajos|escarabajo|pequeno escarabajo",
    "looked_in": "colmenas revisadas|revisadas|colmenas abiertas|abiertas",
    "note": "nota|notas|observacion|observaciones|comentario|comentarios",
}
SHEET_WORDS: Mapping[str, Mapping[str, str]] = {  # what a cell may say, by the word that is kept
    "queen_status": {
        "seen": "vista|si|s|reina vista|presente|con reina",
        "eggs": "huevos|solo huevos|no vista con huevos",
        "neither": "ninguna|ninguno|sin reina|huerfana|sin huevos|no vista",
    },
    "patty_left": {
        "none": "nada|comida|se acabo|sin resto|ninguna",
        "some": "algo|poco|poca|media|la mitad",
        "most": "casi toda|casi todo|toda|entera|mucha",
    },
    "honey": {
        "light": "ligera|ligeras|poca|poco|baja|con hambre",
        "enough": "suficiente|bastante|bien|pesada|llena|mucha",
    },
    "pollen_seen": {
        "none": "nada|ninguno|no",
        "little": "poco|algo",
        "plenty": "mucho|bastante|si",
    },
}


def unaccented(text: str) -> str:
    """A text without the marks over and under its letters: "Qué fue" as "Que fue"."""
    parts = unicodedata.normalize("NFD", text)
    return unicodedata.normalize("NFC", "".join(one for one in parts if not unicodedata.combining(one)))
