from breadline.notebook import Prices as Prices
from breadline.notebook import Table as Table
from breadline.notebook import Told as Told
from breadline.notebook import analyse as analyse
from breadline.notebook import check_group_size as check_group_size
from breadline.notebook import compare as compare
from breadline.notebook import evidence as evidence
from breadline.notebook import figures as figures
from breadline.notebook import pooled as pooled
from breadline.notebook import rounds as rounds
from breadline.notebook import season as season
from breadline.notebook import solve as solve
from breadline.notebook import verdict_of as verdict_of
from breadline.notebook import weather_of as weather_of

__version__: str
NOTEBOOK: frozenset[str]
