from hypothesis import settings

# drawn alike everywhere and judged by no clock
settings.register_profile("reference", deadline=None, derandomize=True, max_examples=40)
settings.load_profile("reference")
