"""Is this the coffee we approved?"""
